"""Which device limits a conductor's current, on circuits of a few parts."""

from __future__ import annotations

from types import MappingProxyType

import pytest

from tests.check.made import catalog, job
from wiring.check.case import Case, Facts
from wiring.check.draft import Missing
from wiring.check.protecting import Device, limits, protecting
from wiring.model.behaviour import Behaviour, Settled, Truth
from wiring.model.circuit import Circuit, Part
from wiring.model.job import ProtectiveDevice, Supply
from wiring.model.value import Amount, Value, certain


def part(name: str, kind: str, *pins: str, **values: float) -> Part:
    """A part with certain values."""
    known: dict[str, Value] = {k: certain(f"{name}.{k}", v, "1", "stated", "made") for k, v in values.items()}
    return Part(name, kind, pins, "hoist", values=MappingProxyType(known))


def circuit(*parts: Part, earth: str = "") -> Circuit:
    return Circuit("after", (), parts, (), earth=earth)


def case_of(made: Circuit, breaker: float | None = None, volts: dict[str, complex] | None = None) -> Case:
    """A case of one settled state in which everything has its voltage."""
    rest = Settled(frozenset(), (), (), (), volts=MappingProxyType(volts or {}))
    none = Truth(True, 0, ())
    shown = Behaviour(none, none, (), (), None, (), (), (), (), 0.0, (rest,), (rest,))
    device = ProtectiveDevice("breaker", Amount(breaker, "current", "")) if breaker else None
    supply = Supply(protective_device=device)
    return Case(Facts(job(supply=supply), catalog(), made, made, shown), 2)


LINE = (
    part("V", "source", "s:L", "s:N", voltage=120.0, frequency=60.0),
    part("F1", "fuse", "s:L", "f:1", rating=10.0),
    part("feed", "wire", "f:1", "f:2"),
    part("F2", "fuse", "f:2", "f:3", rating=3.0),
    part("on", "wire", "f:3", "k:1"),
    part("K", "coil", "k:1", "k:2", voltage=120.0),
    part("back", "wire", "k:2", "s:N"),
)


def test_fuse_behind_a_wire_does_not_limit_it() -> None:
    """Only fuses before a conductor count: the feed answers to F1, what follows F2 to the smaller one."""
    made = circuit(*LINE, part("bond", "wire", "s:N", "PE"), earth="PE")
    fuse = made.part("F2")
    assert not limits(made, fuse, "feed", ()) and limits(made, fuse, "on", ())
    case = case_of(made)
    assert protecting(case, "feed") == Device("F1", 10.0, "value F1.rating")
    assert protecting(case, "on") == Device("F2", 3.0, "value F2.rating")


def test_return_answers_to_the_fuse_in_the_line() -> None:
    """The return on the earthed pole carries what the fuses in the line let through."""
    made = circuit(*LINE, part("bond", "wire", "s:N", "PE"), earth="PE")
    assert protecting(case_of(made), "back") == Device("F2", 3.0, "value F2.rating")


def test_other_line_of_two_has_a_fuse_of_its_own() -> None:
    """Where neither pole is earthed but both stand against earth, a fuse in the other line ends no
    earth fault on this one."""
    middle = (
        part("V1", "source", "s:L", "s:M", voltage=120.0, frequency=60.0),
        part("V2", "source", "s:M", "s:N", voltage=120.0, frequency=60.0),
        part("bond", "wire", "s:M", "PE"),
    )
    made = circuit(*middle, *LINE[1:], earth="PE")
    assert not limits(made, made.part("F2"), "back", ())
    assert protecting(case_of(made), "back") is None
    assert protecting(case_of(made, breaker=20.0), "back") == Device(
        "supply.protective_device", 20.0, "supply.protective_device"
    )


def test_unearthed_circuit_has_one_loop() -> None:
    """Nothing but the other pole can feed a short in an unearthed circuit, so its fuse counts."""
    made = circuit(*LINE)
    assert protecting(case_of(made), "back") == Device("F2", 3.0, "value F2.rating")


def test_primary_fuse_counts_at_the_ratio() -> None:
    """A conductor behind a transformer without a secondary fuse feels the primary one at its ratio."""
    made = circuit(
        part("V", "source", "s:L", "s:N", voltage=120.0, frequency=60.0),
        part("F1", "fuse", "s:L", "f:1", rating=2.0),
        part("T", "transformer", "f:1", "s:N", "t:1", "t:2", primary=120.0, secondary=24.0),
        part("on", "wire", "t:1", "k:1"),
        part("K", "coil", "k:1", "t:2", voltage=24.0),
    )
    found = protecting(case_of(made), "on")
    assert found is not None and (found.name, found.amps, found.through) == ("F1", 10.0, "T")
    assert found.text == "F1 through T"
    bare = circuit(*(p for p in made.parts if p.kind != "fuse"), part("w", "wire", "s:L", "f:1"))
    seen = protecting(case_of(bare, breaker=15.0), "on")
    assert seen is not None and seen.amps == pytest.approx(75.0)


def test_source_inside_a_device_is_asked_for() -> None:
    """A drive's own direct voltage is limited by what its manual says, not by the supply's breaker."""
    made = circuit(
        part("V", "source", "s:L", "s:N", voltage=120.0, frequency=60.0),
        part("V24", "source", "d:24", "d:0", voltage=24.0, frequency=0.0),
        part("on", "wire", "d:24", "k:1"),
        part("K", "coil", "k:1", "d:0", voltage=24.0),
    )
    with pytest.raises(Missing, match="V24"):
        protecting(case_of(made, breaker=15.0), "on")
