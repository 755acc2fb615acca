"""Full names from local ones."""

from __future__ import annotations

import pytest

from wiring.circuit import device_name, hoist_name, owner_of, pendant_name


@pytest.mark.parametrize(
    ("local", "full"),
    [
        ("X1.3", "hoist:X1.3"),
        ("mains.L1", "hoist:mains.L1"),
        ("plug.L", "plug:L"),
        ("K1.13-14", "hoist:K1.13-14"),
    ],
)
def test_hoist_names(local: str, full: str) -> None:
    """What belongs to the hoist is named for the hoist, the pins of its plug for the plug."""
    assert hoist_name(local) == full


@pytest.mark.parametrize(
    ("local", "full"),
    [("up:A1", "K10.up:A1"), ("up", "K10.up"), ("up:1-2", "K10.up:1-2"), ("", "K10"), ("5", "K10:5")],
)
def test_device_with_units(local: str, full: str) -> None:
    """A unit of a device stands between its id and the terminal."""
    assert device_name("K10", ("up", "down"))(local) == full


@pytest.mark.parametrize(("local", "full"), [("A1", "K0:A1"), ("1-2", "K0:1-2"), ("", "K0")])
def test_device_without_units(local: str, full: str) -> None:
    """A device without units is named by its id alone; its main part carries the id."""
    assert device_name("K0", ())(local) == full


@pytest.mark.parametrize(
    ("name", "owner"),
    [
        ("K10.up:A1", "K10"),
        ("K10.up", "K10"),
        ("hoist:X1.3", "hoist"),
        ("W1:2.from", "W1"),
        ("core:2", "core"),
    ],
)
def test_owner(name: str, owner: str) -> None:
    """The owner of a name is what stands before its unit and terminal."""
    assert owner_of(name) == owner


def test_pendant_name() -> None:
    """Junctions of the handset are the pendant's."""
    assert pendant_name("g") == "pendant:g"
