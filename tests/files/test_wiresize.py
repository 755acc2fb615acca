"""Wire sizes."""

from __future__ import annotations

import pytest

from wiring.files import QuantityError, load_catalog, parse_size

GOOD = [
    ("18 AWG", "awg", "18", 0.823), ("2/0 AWG", "awg", "2/0", 67.43), ("4/0 AWG", "awg", "4/0", 107.2),
    ("250 kcmil", "kcmil", "250", 126.7), ("1.5 mm²", "mm2", "1.5", 1.5), ("2.50 mm2", "mm2", "2.5", 2.5),
    ("10 mm2", "mm2", "10", 10.0),
]  # fmt: skip
BAD = [
    ("18AWG", "\"18 AWG\""), ("#18", "18 AWG"), ("18", "18 AWG"), ("18 awg", "\"18 AWG\""),
    ("5/0 AWG", "1/0 to 4/0"), ("0 AWG", "40 to 1"), ("41 AWG", "40 to 1"), ("1.5 AWG", "40 to 1"),
    ("200 kcmil", "smaller sizes are AWG"), ("250 MCM", "\"250 kcmil\""), ("1,5 mm2", "\"1.5 mm2\""),
    ("1.5", "a wire size"), ("1.5 sqmm", "\"1.5 mm2\""), ("5000 mm2", "0.05 to 1000"),
    ("2/0 mm2", "2/0 AWG"), ("", "a wire size"), ("thick", "a wire size"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "system", "name", "mm2"), GOOD)
def test_reads_sizes(text: str, system: str, name: str, mm2: float) -> None:
    """A size gives its system, bare name and copper area."""
    size = parse_size(text)
    assert (size.system, size.name, size.text) == (system, name, text)
    assert size.area_m2 * 1e6 == pytest.approx(mm2, rel=1e-3)


@pytest.mark.parametrize(("text", "words"), BAD)
def test_refuses_sizes(text: str, words: str) -> None:
    """A size that is not made or not written so is refused, with the nearest one."""
    with pytest.raises(QuantityError) as caught:
        parse_size(text)
    assert words in str(caught.value)


def test_gauge_formula_agrees_with_the_catalog() -> None:
    """The area by definition of the gauge is that of the catalog's table of gauges."""
    rows = load_catalog().tables["copper-awg"]
    checked = 0
    for name in rows.rows:
        area = rows.cell(name, "area")
        if area is not None and not name.isalpha():
            text = f"{name} AWG" if name.replace("/0", "").isdigit() and not name.startswith("2" * 3) else ""
            if text and (len(name) < 3 or "/" in name):
                assert parse_size(text).area_m2 == pytest.approx(area.si, rel=1e-5)
                checked += 1
    assert checked > 15
