"""Main contactors that weld without anybody noticing."""

from __future__ import annotations

from pathlib import Path

from wiring.circuit import build_after, build_before
from wiring.files import load_catalog, load_job
from wiring.model.circuit import Circuit
from wiring.pipeline import plan
from wiring.simulate.faults import single_list
from wiring.simulate.faults_hidden import hidden_contactors

GANTRY = Path(__file__).parents[2] / "catalogs" / "demo" / "slipway-gantry.toml"


def gantry() -> Circuit:
    return build_after(load_job(str(GANTRY)), load_catalog(GANTRY.parent))


def test_a_main_contactor_that_is_in_at_rest_welds_unnoticed() -> None:
    """The added main contactor is hidden when welded and meets every second fault; as found is none."""
    after = gantry()
    assert hidden_contactors(after) == ("K0 stuck-in",)
    pairs = {frozenset(f.names) for f in single_list(after) if f.hidden}
    assert frozenset(("K0 stuck-in", "hoist:K1 stuck-in")) in pairs
    assert hidden_contactors(build_before(load_job(str(GANTRY)), load_catalog(GANTRY.parent))) == ()


def test_both_contactors_welded_and_no_stop_near_is_an_objection(tmp_path: Path) -> None:
    """With the isolator out of reach nothing near ends a lift behind two welds: a fail says so."""
    good = GANTRY.read_text("utf-8")
    text = good.replace('reach = "near"\ndistance = "6 m"', 'reach = "elsewhere"\ndistance = "40 m"')
    assert text != good
    file = tmp_path / "far.toml"
    file.write_text(text, "utf-8")
    report = plan(load_job(str(file)), faults="single").report
    fails = [f for f in report.findings if f.verdict == "fail" and "K0 stuck-in" in f.subject + f.found]
    assert any(f.rule == "proof.every-fault-has-a-stop" for f in fails), [f.rule for f in fails]
