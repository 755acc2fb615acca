"""The sabotage campaign in small, and the independence of its judge."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.campaign import sabotage
from tests.campaign._judge import judge
from tests.campaign._sabotage_plans import PAIRS, Base, base
from tests.rules.cases import dump
from wiring.files import load_catalog
from wiring.model.finding import Verdict

CAMPAIGN = Path(sabotage.__file__).parent
WINCH = ("winch-permanent-magnet-12", "winch-high-side")


@pytest.fixture(scope="module")
def good() -> Base:
    """The good plan of the winch, the quickest there is."""
    found = base(*WINCH)
    assert found is not None
    return found


def test_the_judge_shares_no_code_with_the_engine() -> None:
    """No module of the judge imports anything of the engine, nor any test module that does."""
    files = sorted(CAMPAIGN.glob("_judge*.py"))
    assert len(files) >= 6
    for file in files:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            for name in names:
                ours = name.startswith(("wiring", "tui", "tests"))
                assert not ours or name.startswith("tests.campaign._judge"), f"{file.name} imports {name}"


def test_every_hoist_type_has_a_good_plan() -> None:
    """Each hoist type of the catalog is spoilt, with two receivers where two fit."""
    assert set(PAIRS) == set(load_catalog().hoists)
    single = {hoist for hoist, receivers in PAIRS.items() if len(receivers) < 2}
    assert single == {"drive-npn", "drive-pnp-two-channel-stop", "two-speed-crane-115"}


def test_the_good_plan_states_what_the_rules_ask_for(good: Base) -> None:
    """Beside the faults, which were not run, nothing is unknown and nothing fails."""
    open_ = [f for f in sabotage.findings(good.plan, Verdict.UNKNOWN) if "not run" not in f.found]
    assert not open_ and not sabotage.findings(good.plan, Verdict.FAIL)


def test_the_judge_finds_no_harm_in_the_good_plan(good: Base) -> None:
    """A plan compared with itself is harmless."""
    assert judge(good.text, good.text).verdict == "harmless"


def test_the_judge_sees_keys_exchanged(good: Base) -> None:
    """Where in and out answer to each other's keys the winch turns the wrong way: harmful, with states."""
    slip = next(iter(sabotage.WAYS["wrong key"](good.data)))
    opinion = judge(good.text, dump(slip[1]))
    assert opinion.verdict == "harmful" and "moves" in opinion.why[0]


def test_a_small_campaign() -> None:
    """Forty changes of one plan: every harmful one is detected, no harmless one is called out."""
    told = sabotage.run(40, 1, (WINCH,))
    assert told["cases"] == 40 and told["harmful"] >= 10 and told["harmless"] >= 5
    assert told["misses"] == [] and told["alarms"] == []
