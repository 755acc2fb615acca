"""Limits that leave the motor humming, and capacitors with their bleeder."""

from __future__ import annotations

from tests.planner.made import CATALOG, job_of
from wiring.circuit import build_after, build_type
from wiring.planner.propose import search
from wiring.simulate import Network, behaviour
from wiring.simulate.faults import supply_faults


def test_a_stuck_limit_that_only_made_the_motor_hum_is_defeated() -> None:
    """The capacitor in the handset feeds the other winding past an open limit: the motor hums. With the
    limit's contact stuck it turns on, on either side of a comparison."""
    circuit = build_type(CATALOG.hoists["capacitor-in-handset-230"])
    shown = behaviour(Network(circuit), Network(circuit), faults="single")
    assert shown.faults is not None
    stuck = next(r for r in shown.faults.results if r.fault == ("hoist:LSD stuck-closed",))
    assert ("limit defeated", "hoist down") in {(h.hazard, h.motion) for h in stuck.hazards}
    assert stuck.judgement == "same"


def test_a_bleeder_across_a_capacitor_is_no_fault_of_its_own() -> None:
    """Its short is the capacitor's short, which is tried."""
    job = job_of("capacitor-in-handset-230", "two-channel-dry")
    circuit = build_after(search(job, CATALOG, 1).candidates[0].proposal.job, CATALOG)
    assert circuit.part("C1:bleeder").kind == "suppressor"
    tried = {name for fault in supply_faults(circuit) for name in fault.names}
    assert "C1 short" in tried and "C1:bleeder short" not in tried
