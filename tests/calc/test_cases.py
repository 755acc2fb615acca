"""Worked values of both regions against the calculations, with the figures of the catalog tables."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.calc.adapters_iec import IEC
from tests.calc.adapters_us import US
from tests.calc.units import FACTORS

FOLDER = Path(__file__).parent / "cases"
CASES = [
    (path.stem, case)
    for path in sorted(FOLDER.glob("*.toml"))
    for case in tomllib.loads(path.read_text(encoding="utf-8"))["case"]
]


@pytest.mark.parametrize(("file", "case"), CASES, ids=[f"{file}-{case['id']}" for file, case in CASES])
def test_worked_value(file: str, case: dict[str, Any]) -> None:
    """Each worked value comes out of the calculation within the tolerance beside it."""
    result = {**US, **IEC}[case["do"]](case["given"])
    expected = case["expected"]
    if isinstance(expected, bool | str):
        assert result == expected and type(result) is type(expected)
        return
    assert isinstance(result, float | int) and math.isfinite(result)
    printed = result / FACTORS[case["unit"]] if "unit" in case else float(result)
    assert printed == pytest.approx(expected, rel=case.get("within", 1e-12), abs=case.get("tolerance", 0.0))


def test_every_case_has_its_source() -> None:
    """Each case names its source and basis, and no id is used twice in a file."""
    ids = [(file, case["id"]) for file, case in CASES]
    assert len(set(ids)) == len(ids) >= 155
    for _, case in CASES:
        assert case["source"] and case["basis"] in {"read", "derived", "memory"}


def test_every_kind_of_case_is_used() -> None:
    """No adapter is left without a case."""
    assert {case["do"] for _, case in CASES} == set(US) | set(IEC)
