"""What is said of who read a figure, and what a load is made of."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import confirm
from tests.check.planted import CATALOG
from wiring.check.confirm import confirmed
from wiring.check.rating_words import RatingError, contact_of, load_of
from wiring.model.value import Value

CODES = {*CATALOG.tables["pilot-duty-ac"].rows, *CATALOG.tables["pilot-duty-dc"].rows}
OURS = Value("t/r/limit", 5.0, "A", "memory", "a book", 4.0, 6.0)


def test_both_readers_are_named_and_one_reader_once() -> None:
    """A figure read by two people names both; where the second name is the first again it is named once."""
    two = confirmed(OURS, (confirm("5 A", second="B. Reader"),), 1)
    assert two.source.endswith("read by A. Reader and B. Reader")
    same = confirmed(OURS, (confirm("5 A", second="a.  reader"),), 3)
    assert same.source.endswith("read by A. Reader")
    lower = confirmed(OURS, (replace(confirm("4.5 A"), by="C. Reader"),), 3)
    assert "read by C. Reader; the catalog has 5 A" in lower.source and lower.si == 4.5


def test_a_motor_is_given_by_its_current_or_its_power() -> None:
    """A motor in amperes has no power and one in horsepower no current; nothing is made up."""
    by_amps, by_power = load_of("motor 6.3 A 230 V"), load_of("motor 1 hp 230 V")
    assert (by_amps.power, by_amps.amps) == (None, 6.3)
    assert by_power.amps is None and by_power.power == pytest.approx(745.7)


def test_what_drives_an_input_is_direct_or_alternating() -> None:
    """An input at 24 V is taken as direct; written AC it is alternating."""
    assert not load_of("drive input 24 V 6 mA").ac and not load_of("drive input 24 V DC 6 mA").ac
    assert load_of("drive input 24 V AC 6 mA").ac


@pytest.mark.parametrize(
    ("item", "words"),
    [("1/3 hp 5 A", "power with its voltage"), ("1/3 hp 60 V", "110 to 132 V"), ("1 hp 400 V", "to 264 V")],
)
def test_horsepower_is_printed_for_a_voltage_there_is(item: str, words: str) -> None:
    """Horsepower beside amperes, or at a voltage of no printed rating, is refused and says what is read."""
    with pytest.raises(RatingError, match=words):
        contact_of(item, CODES)
