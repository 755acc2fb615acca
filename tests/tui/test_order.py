"""Steps, their keys, and the findings each of them can change."""

from __future__ import annotations

from pathlib import Path

import wiring
from tests.tui.drive import demo
from tui.steps.order import BY_NAME, OBJECTIONS, STEPS, changes, findings_of, home_of, key_at, step_of_key


def plan_of(name: str, folder: Path) -> wiring.Plan:
    file = folder / name
    file.write_text(demo(name), "utf-8")
    return wiring.plan(wiring.load_job(file))


def test_steps_stand_in_the_order_of_the_work() -> None:
    """Isolation comes before anything is opened or measured."""
    names = [step.name for step in STEPS]
    assert names == ["Scope", "Isolate", "Hoist", "Cores", "Receiver", "Connections", "Cables", "Proof",
                     "Findings", "Drawing", "Papers"]  # fmt: skip
    assert len({step.key for step in STEPS} | {step.twin for step in STEPS}) == 2 * len(STEPS)


def test_the_step_bar_fits_eighty_columns_and_names_every_step() -> None:
    """Eleven steps with key and sign in one line."""
    assert sum(len(step.key + step.short) + 2 for step in STEPS) - 1 <= 80


def test_every_rule_has_a_step_that_can_change_its_answer() -> None:
    """No objection is left without a place to act."""
    own = [step for step in STEPS if step.name not in ("Findings", "Proof")]
    lost = [rule for rule in wiring.RULES if not any(rule.startswith(s.rules or ("\0",)) for s in own)]
    assert lost == []


def test_every_objection_of_the_first_try_leads_to_a_step_and_most_to_a_key(tmp_path: Path) -> None:
    """A finding with a line in the file leads to the step where that line is edited."""
    plan = plan_of("malt-first-try.toml", tmp_path)
    objections = [f for f in plan.report.findings if f.verdict in OBJECTIONS]
    assert objections
    for finding in objections:
        home = home_of(finding, plan.job)
        key = key_at(plan.job, finding.where) if finding.where else ""
        if key and step_of_key(key):
            assert home is step_of_key(key)
            assert changes(home, finding, plan.job)


def test_a_step_lists_its_findings_worst_first(tmp_path: Path) -> None:
    """Failures stand before what is not known, as the report sorted them."""
    plan = plan_of("malt-first-try.toml", tmp_path)
    found = findings_of(BY_NAME["Receiver"], plan)
    verdicts = [f.verdict for f in found]
    assert {"mode.hold-to-run", "contact.motor-load"} <= {f.rule for f in found}
    assert verdicts == sorted(verdicts, key=OBJECTIONS.index)
