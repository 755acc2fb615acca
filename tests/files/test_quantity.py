"""Quantities: what is read, what is refused and how, what is printed."""

from __future__ import annotations

import math
import subprocess
import sys
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wiring.files.quantity import (
    QuantityError,
    parse,
    parse_any,
    quantity,
    read_as,
    registry,
    rounded,
    show,
    to_si,
)
from wiring.files.units import DISPLAY, KIND_OF, KINDS

GOOD = [
    ("12 m", "length", 12.0), ("12 ft", "length", 3.6576), ("25 mm", "length", 0.025),
    ("7 in", "length", 0.1778), ("6.3 A", "current", 6.3), ("30 mA", "current", 0.03),
    ("6 kA", "current", 6000.0), ("24 V", "voltage", 24.0), ("0.3 ohm", "resistance", 0.3),
    ("1.5 kΩ", "resistance", 1500.0), ("0.5 hp", "power", 372.849936), ("1/3 hp", "power", 248.566624),
    ("1.5 kW", "power", 1500.0), ("63 VA", "apparent power", 63.0), ("400 ms", "time", 0.4),
    ("5 min", "time", 300.0), ("60 Hz", "frequency", 60.0), ("30 °C", "temperature", 30.0),
    ("30 degC", "temperature", 30.0), ("86 °F", "temperature", 30.0), ("-4 degF", "temperature", -20.0),
    ("8 m/min", "speed", 0.133333333), ("26 ft/min", "speed", 0.13208), ("10 %", "ratio", 0.1),
    ("16 uF", "capacitance", 1.6e-05), ("16 µF", "capacitance", 1.6e-05), ("0.6 N m", "torque", 0.6),
    ("5 lbf in", "torque", 0.564924145), ("250 kg", "mass", 250.0), ("1.5 mm²", "area", 1.5e-06),
    ("+2 V", "voltage", 2.0),
]  # fmt: skip

#: Texts that the units library's own parser reads wrongly, or cannot read, and the usual slips.
BAD = [
    ("400 A", "voltage", "A is a unit of current"),
    ("3 1/2 ft", "length", "fraction"), ("12,5 m", "length", "comma"), ("nan m", "length", "not a number"),
    ("1e400 m", "length", "exponent"), ("12 M", "length", "12 m"), ("12 C", "temperature", "12 °C"),
    ("24 VAC", "voltage", "\"24 V\""), ("18 AWG", "length", "a length"),
    ("9**9**9 m", "length", "a length"), ("inf m", "length", "not a number"),
    ("24 V AC", "voltage", "\"24 V\""), ("5 ft 6 in", "length", "feet and inches"),
    ("5'6\"", "length", "feet and inches"), ("6'", "length", "write ft or in"), ("12", "length", "no unit"),
    ("", "length", "empty"), ("1/3 ft", "length", "only hp"), ("1 1/2 hp", "power", "fraction"),
    ("12m", "length", "no blank"), ("12  m", "length", "more than one blank"),
    ("12 m\n", "length", "blanks"), (" 12 m", "length", "blanks"), ("½ hp", "power", "fraction"),
    ("5-10 m", "length", "range"), ("< 5 m", "length", "sign"), ("12345678 m", "length", "seven digits"),
    ("1234.5678 m", "length", "seven digits"), (".5 m", "length", "dot"), ("5. m", "length", "dot"),
    ("1,000 m", "length", "comma"), ("١٢ m", "length", "a length"), ("12\u00a0m", "length", "a length"),
    ("10%", "ratio", "no blank"), ("-5 V", "voltage", "from 0"), ("2000 V", "voltage", "to 1 500 V"),
    ("500 degC", "temperature", "from -60"), ("6 Nm", "torque", "6 N m"), ("6 KW", "power", "6 kW"),
    ("0/3 hp", "power", "fraction"), ("x" * 500, "length", "..."),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "si"), GOOD)
def test_reads_what_is_well_written(text: str, kind: str, si: float) -> None:
    """A well-written quantity is read into SI and keeps its text."""
    amount = parse(text, kind)
    assert amount.si == pytest.approx(si, rel=1e-8)
    assert (amount.kind, amount.text) == (kind, text)
    assert parse_any(text) == amount


@pytest.mark.parametrize(("text", "kind", "words"), BAD)
def test_refuses_what_may_be_misread(text: str, kind: str, words: str) -> None:
    """A text that could mean something else is refused with its slip named."""
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)
    assert words in str(caught.value)


def test_a_power_tower_is_refused_at_once() -> None:
    """A text that an evaluating parser would compute for minutes is refused in no time."""
    start = time.perf_counter()
    for text in ("9**9**9 m", "9" * 100_000 + " m", "(" * 100_000, "1" + " " * 100_000 + "m"):
        with pytest.raises(QuantityError):
            parse(text, "length")
    assert time.perf_counter() - start < 2


def test_decimal_input_is_read_without_rounding_twice() -> None:
    """A decimal text gives the float nearest to its SI value."""
    assert parse("0.3 mm", "length").si == 0.0003
    assert parse("35 mm", "length").si == 0.035
    assert parse("16 uF", "capacitance").si == 16e-6


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=30), st.sampled_from(sorted(KINDS)))
def test_any_text_is_read_or_refused(text: str, kind: str) -> None:
    """Whatever is typed, the answer is a finite amount in range or a QuantityError."""
    try:
        amount = parse(text, kind)
    except QuantityError as error:
        assert error.allowed
    else:
        assert math.isfinite(amount.si) and KINDS[kind].low <= amount.si <= KINDS[kind].high


@settings(max_examples=300, deadline=None)
@given(st.decimals(0, 9999, places=2), st.sampled_from(sorted(set(KIND_OF) - set(DISPLAY))))
def test_what_is_read_is_shown_again(number: object, word: str) -> None:
    """Reading a number in a unit and showing it in the same unit gives the same number."""
    try:
        amount = parse(f"{number} {word}", KIND_OF[word])
    except QuantityError as error:
        assert "from" in error.allowed
        return
    text = show(amount.si, word, digits=2)
    assert float(text.split(" ")[0]) == pytest.approx(float(str(number)), abs=0.005001)
    assert to_si(float(str(number)), word)[0] == pytest.approx(amount.si)


def test_printing_uses_one_table_of_digits() -> None:
    """Each unit has its decimals; SI words nobody reads are replaced, by region."""
    assert show(6.3, "A") == "6.30 A"
    assert show(16e-6, "F") == "16.00 uF"
    assert show(1.5e-6, "m2") == "1.50 mm2"
    assert show(0.0209, "ohm/m") == "20.900 ohm/km"
    assert show(3.6576, "m", region="us") == "12.0 ft"
    assert show(30, "degC", region="us") == "86 degF"
    assert show(0.5, "1") == "0.500"
    assert show(math.inf, "A") == "inf A"


def test_rounding_against_the_limit() -> None:
    """A measured value is rounded up against an at-most limit, down against an at-least one."""
    assert rounded(6.301, 2, "up") == 6.31
    assert rounded(6.309, 2, "down") == 6.3
    assert rounded(0.1 + 0.2, 2, "up") == 0.3
    assert rounded(-0.0001, 2, "near") == 0 and math.copysign(1, rounded(-0.0001, 2)) == 1
    assert show(23.96, "V", toward="down") == "23.9 V"


def test_a_confirmed_cell_is_read_in_its_unit() -> None:
    """A confirmation is read in the unit of its cell; a plain number only where there is none."""
    assert read_as("26 A", "A") == 26
    assert read_as("0.87", "1") == 0.87
    assert read_as("87 %", "1") == pytest.approx(0.87)
    assert read_as("20.9 ohm/km", "ohm/m") == pytest.approx(0.0209)
    for text, unit in (("26 V", "A"), ("26", "A"), ("x", "1"), ("20.9", "ohm/m"), ("5 furlong", "count")):
        with pytest.raises(QuantityError):
            read_as(text, unit)


def test_units_library_agrees_with_the_table() -> None:
    """Every unit word means the same in our table and in the units library."""
    units = registry()
    assert units is registry()
    for name, kind in KINDS.items():
        for word, unit in kind.units.items():
            amount = parse(f"30 {word}" if name == "temperature" else f"1 {word}", name)
            written = 30.0 if name == "temperature" else 1.0
            theirs = units.Quantity(written, unit.pint)
            assert quantity(amount).to(unit.pint).magnitude == pytest.approx(written), word
            assert theirs.dimensionality == quantity(amount).dimensionality


def test_units_library_is_loaded_only_when_asked_for() -> None:
    """Loading jobs and printing numbers never loads the units library or the editing library."""
    code = (
        "import sys, wiring.files as f; f.parse('12 m', 'length'); f.show(1.0, 'A'); f.load_catalog();"
        "assert not {'pint', 'tomlkit', 'numpy'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
