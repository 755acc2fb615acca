"""The one-off relay check away from the usual figures: edges of codes, voltages and table sizes."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.check.one_off import one_off
from wiring.check.rating_words import RatingError, contact_of, load_of
from wiring.files import load_catalog
from wiring.model.rating import OneOff

CATALOG = load_catalog(Path("."))
CODES = {*CATALOG.tables["pilot-duty-ac"].rows, *CATALOG.tables["pilot-duty-dc"].rows}


def ask(contact: str, load: str, region: str = "us") -> OneOff:
    return one_off(contact, load, CATALOG, region)


def pair(found: OneOff, category: str) -> tuple[float | None, float | None]:
    finding = next(a for a in found.answers if a.category == category).finding
    return finding.measured, finding.limit


def verdict(found: OneOff, category: str) -> str:
    return str(next(a for a in found.answers if a.category == category).verdict)


@pytest.mark.parametrize(
    ("contact", "load", "make", "breaking"),
    [
        ("A300", "coil 240/24 VA 12 V AC", (20.0, 60.0), (2.0, 10.0)),  # make capped, break carried
        ("B300", "coil 240/24 VA 48 V AC", (5.0, 30.0), (0.5, 5.0)),
        ("C300", "coil 240/24 VA 100 V AC", (2.4, 15.0), (0.24, 1.8)),  # 180 VA over 100 V below the ceiling
        ("D300", "coil 240/24 VA 120 V AC", (2.0, 3.6), (0.2, 0.6)),
        ("A600", "coil 277/27.7 VA 277 V AC", (1.0, 7200 / 277), (0.1, 720 / 277)),  # between two columns
        ("B600", "coil 347/34.7 VA 347 V AC", (1.0, 3600 / 347), (0.1, 360 / 347)),
        ("E150", "coil 115/11.5 VA 115 V AC", (1.0, 1.8), (0.1, 36 / 115)),
        ("Q300", "coil 12 W 48 V DC", (0.25, 69 / 48), (0.25, 69 / 48)),
        ("R300", "coil 10 W 100 V DC", (0.1, 0.28), (0.1, 0.28)),
        ("N600", "coil 50 W 500 V DC", (0.1, 0.4), (0.1, 0.4)),
        ("N150", "coil 12 W 12 V DC", (1.0, 10.0), (1.0, 10.0)),
    ],
)  # fmt: skip
def test_codes_at_other_voltages(
    contact: str, load: str, make: tuple[float, float], breaking: tuple[float, float]
) -> None:
    """A code gives its volt-amperes over the voltage, the 120 V make current below, and never more than
    it carries."""
    found = ask(contact, load)
    assert pair(found, "make") == pytest.approx(make) and pair(found, "break") == pytest.approx(breaking)


@pytest.mark.parametrize(
    ("contact", "load", "category", "wanted"),
    [
        ("B300", "coil 720/8 VA 24 V AC", "make", "pass"),  # 30.00 A at the cap
        ("B300", "coil 721/8 VA 24 V AC", "make", "fail"),
        ("C300", "coil 70/60 VA 24 V AC", "break", "pass"),  # 2.50 A, the carrying current
        ("C300", "coil 70/60.5 VA 24 V AC", "break", "fail"),
        ("B300", "coil 70/8 VA 300 V AC", "voltage", "pass"),
        ("B300", "coil 70/8 VA 301 V AC", "voltage", "fail"),
        ("R150", "coil 5 W 150 V DC", "voltage", "pass"),
        ("R150", "coil 5 W 151 V DC", "voltage", "fail"),
        ("3 A AC-15 240 V", "coil 7200/720 VA 240 V AC", "make", "pass"),  # ten times, exactly
        ("3 A AC-15 240 V", "coil 7201/720 VA 240 V AC", "make", "fail"),
        ("2 A DC-13 24 V", "coil 48 W 24 V DC", "break", "pass"),
        ("2 A DC-13 24 V", "coil 48.5 W 24 V DC", "break", "fail"),
        ("9 A AC-3", "motor 9 A 400 V three-phase locked 72 A", "break", "pass"),  # eight times
        ("9 A AC-3", "motor 9 A 400 V three-phase locked 73 A", "break", "fail"),
        ("9 A AC-3", "motor 9 A 400 V three-phase locked 90 A", "make", "pass"),  # ten times
        ("9 A AC-3", "motor 9 A 400 V three-phase locked 91 A", "make", "fail"),
        ("4 A AC-4", "motor 4 A 400 V three-phase", "inching", "pass"),
        ("4 A AC-4", "motor 4.1 A 400 V three-phase", "inching", "fail"),
    ],
)  # fmt: skip
def test_edges(contact: str, load: str, category: str, wanted: str) -> None:
    """At a limit a contact may be used, just above it not."""
    region = "us" if contact[:1].isalpha() else "iec"
    assert verdict(ask(contact, load, region), category) == wanted


@pytest.mark.parametrize(
    ("contact", "load", "amps"),
    [
        ("1 hp 240 V", "motor 1 hp 230 V", (8.0, 8.0)),
        ("1.5 hp 240 V", "motor 1.5 hp 230 V", (10.0, 10.0)),  # above the table of small ratings
        ("2 hp 240 V", "motor 1.5 hp 230 V", (10.0, 12.0)),
        ("2 hp 120 V", "motor 2 hp 115 V", (24.0, 24.0)),
        ("5 hp 240 V", "motor 3 hp 230 V three-phase", (9.6, 28.0)),
        ("1/2 hp 240 V", "motor 1/2 hp 200 V", (5.6, 4.9)),  # the lower voltage draws more
    ],
)
def test_motor_sizes(contact: str, load: str, amps: tuple[float, float]) -> None:
    """A motor rating stands for the current of its power and voltage class, whatever its size."""
    assert pair(ask(contact, load), "kind of load") == pytest.approx(amps)


def test_one_phase_and_three() -> None:
    """The same power draws less on each of three lines, and its locked-rotor current is another table's."""
    one, three = ask("5 hp 240 V", "motor 1 hp 230 V"), ask("5 hp 240 V", "motor 1 hp 230 V three-phase")
    assert pair(one, "steady")[0] == 8.0 and pair(three, "steady")[0] == 4.2
    assert pair(one, "make")[0] == 48.0 and pair(three, "make")[0] == 30.0


def test_codes_as_printed_with_a_slash() -> None:
    """Two codes printed with a stroke are two codes: one for each kind of current."""
    assert contact_of("B300/R300", CODES).pilot == contact_of("b300 / r300", CODES).pilot == "B300, R300"
    assert verdict(ask("B300/R300", "coil 5 W 24 V DC"), "break") == "pass"
    with pytest.raises(RatingError):
        contact_of("B300/X300", CODES)


def test_inrush_and_sealed_the_wrong_way_round() -> None:
    """A coil that holds with more than it pulls in with is refused; the order is told."""
    with pytest.raises(RatingError, match="8/70"):
        load_of("coil 8/70 VA 24 V AC")
    assert load_of("coil 8/8 VA 24 V AC").inrush == 8


def test_bare_amperes_say_nothing_of_direct_current() -> None:
    """An ampere figure without a voltage is unknown on direct current, beside an AC rating it fails."""
    assert verdict(ask("10 A resistive", "drive input 24 V 6 mA"), "kind of load") == "unknown"
    assert verdict(ask("10 A resistive, 250 V AC", "drive input 24 V 6 mA"), "kind of load") == "fail"
    assert verdict(ask("10 A resistive, 30 V DC", "drive input 24 V 6 mA"), "kind of load") == "pass"


def test_least_load_by_voltage() -> None:
    """Enough current at too low a voltage does not wet the contact."""
    good, low = "10 A resistive, 30 V DC, min 5 mA 24 V", "10 A resistive, 30 V DC, min 5 mA 30 V"
    assert verdict(ask(good, "drive input 24 V 6 mA"), "minimum load") == "pass"
    assert verdict(ask(low, "drive input 24 V 6 mA"), "minimum load") == "fail"
