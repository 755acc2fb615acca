"""A proof that was run in part says so wherever it is shown."""

from __future__ import annotations

import json

import pytest

from tests.sheets.conftest import planned
from wiring.pipeline import material
from wiring.sheets.cover import cover
from wiring.sheets.findings_json import check_json
from wiring.sheets.findings_text import check_text
from wiring.sheets.proof_json import proof_json
from wiring.sheets.proof_text import proof_text
from wiring.sheets.stops import stops

SAID = ("of 512 states", "two opposite orders", "a choice of", "at most two keys held")


def test_every_output_of_a_capped_proof_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Text and JSON of check and of prove, the cover and the stop sheet name the cap and the numbers."""
    monkeypatch.setattr("wiring.simulate.faults_runs.ALL", 1)
    plan = planned("malt-first-try", "single")
    whole = material(plan)
    outputs = {
        "check": check_text(plan),
        "check --json": json.dumps(check_json(plan)),
        "prove": proof_text(plan, "single"),
        "prove --json": json.dumps(proof_json(plan)),
        "cover": repr(cover(whole)),
        "stop sheet": repr(stops(whole)),
    }
    for name, text in outputs.items():
        flat = " ".join(text.split())
        for words in SAID[1:] if name == "stop sheet" else SAID:
            assert words in flat, f"{name} does not say: {words}"
