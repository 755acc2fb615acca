"""Which receiver fits which hoist: the whole table, compared with what is known of the trade."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from tests.planner.facts import DIFFERENCES, FACTS, RECEIVERS
from tests.planner.made import CATALOG, job_of
from wiring.circuit import build_after
from wiring.model.entry import Catalog
from wiring.model.job import Job, LoadHolding
from wiring.model.plan import Plan
from wiring.model.proposal import Fit
from wiring.pipeline import plan
from wiring.planner import fit_receivers, specification
from wiring.planner.oddness import Look
from wiring.planner.propose import propose_connections, search

LETTERS = {"direct": "D", "with devices": "I", "do not use": "X"}


@cache
def fits(hoist: str) -> dict[str, Fit]:
    """Every receiver for one hoist, by the quick look."""
    return {f.receiver: f for f in fit_receivers(job_of(hoist, None), CATALOG, None)}


def line(hoist: str) -> str:
    """One hoist of the table: verdicts, and for each receiver the parts or the reason."""
    lines = [f"{hoist}"]
    for receiver in RECEIVERS:
        one = fits(hoist)[receiver]
        what = ", ".join(one.needs) if one.proposal else one.why
        lines.append(f"  {LETTERS[one.verdict]} {receiver}: {what}")
    return "\n".join(lines)


def test_the_table_of_all_hoists_and_receivers(snapshot: Any) -> None:
    """Every hoist type with every receiver type: how it fits and with which parts, or why it does not."""
    table = "\n".join(line(hoist) for hoist in CATALOG.hoists) + "\n"
    snapshot.assert_match(table, "fit-table.txt")


@pytest.mark.parametrize("hoist", FACTS)
def test_a_row_agrees_with_the_facts_or_is_argued(hoist: str) -> None:
    """Each verdict is the one known of the trade, except where an argument stands beside the facts."""
    for receiver, known in zip(RECEIVERS, FACTS[hoist], strict=True):
        found = LETTERS[fits(hoist)[receiver].verdict]
        if (hoist, receiver) in DIFFERENCES:
            assert found not in known, f"{receiver}: argued, but it agrees"
            assert len(DIFFERENCES[hoist, receiver].split()) > 10
        else:
            assert found in known, f"{receiver}: found {found}, known {known}: {fits(hoist)[receiver].why}"


def test_the_facts_cover_every_receiver() -> None:
    """No receiver type of the catalog is left out of the table."""
    assert set(RECEIVERS) == set(CATALOG.receivers)


def test_receivers_are_ranked_direct_first() -> None:
    """Direct ones come before those with devices, and those before the ones not to be used."""
    order = [f.verdict for f in fit_receivers(job_of("reversing-contactors-115", None), CATALOG, None)]
    assert order == sorted(order, key=["direct", "with devices", "do not use"].index)
    assert order[0] == "direct" and order[-1] == "do not use"


def test_a_fit_is_planned_when_a_plan_is_asked_for() -> None:
    """With the plan function the offered wiring carries its plan, and a rating that cannot do it is seen."""
    job = job_of("winch-permanent-magnet-12", None)
    found = {f.receiver: f for f in fit_receivers(job, CATALOG, lambda j, c: plan(j, c))}
    best = found["four-channel-dry-dc"]
    assert best.verdict == "direct" and best.proposal is not None and best.proposal.plan is not None
    assert found["network-relay-module"].verdict == "do not use"


def test_the_specification_names_what_to_buy() -> None:
    """A contactor hoist asks for a coil rating with its inrush, a supply, a mode, a time and a stop."""
    wants = {w.what: w.wanted for w in specification(job_of("reversing-contactors-24", None), CATALOG)}
    assert wants["contact"] == "AC-15 or pilot duty at 24 V AC: 0.33 A, makes 2.9 A"
    assert wants["outputs"] == "up: 1 NO; down: 1 NO"
    assert {"supply", "mode", "signal lost", "stop"} <= set(wants)


def test_a_motor_hoist_asks_for_a_motor_rating_or_a_pair() -> None:
    """Where the handset switches the motor the specification gives both ways with their figures."""
    wants = {w.what: w.wanted for w in specification(job_of("capacitor-motor-direct-120", None), CATALOG)}
    assert "780 W or 6.3 A; makes 13 A" in wants["contact, without further contactors"]
    assert "AC-15 or pilot duty at 120 V" in wants["contact, with a contactor pair"]
    assert "opposite keys" in wants


def test_an_unknown_hoist_has_no_specification() -> None:
    """Nothing is specified for a hoist whose type is not known."""

    job = job_of("capacitor-motor-direct-120", None)
    assert specification(replace(job, hoist=replace(job.hoist, type=None)), CATALOG) == ()


def test_no_offered_wiring_uses_the_protective_conductor_as_a_return() -> None:
    """In no cell of the table does a wire join the earth to anything, but for the one that earths the
    secondary of a control transformer that is put in."""
    for hoist in CATALOG.hoists:
        for one in fits(hoist).values():
            if one.proposal is None:
                continue
            job = one.proposal.job
            mixed = Look(job, build_after(job, CATALOG)).mixed(job.connections)
            bonded = any(
                "control.ret" in w or "return of the control circuit" in w for w in one.proposal.reasons
            )
            assert mixed == (1 if bonded else 0), (hoist, one.receiver)


@pytest.mark.parametrize("hoist", ["reversing-contactors-24", "capacitor-motor-direct-120"])
def test_receivers_are_judged_before_the_cores_are_known(hoist: str) -> None:
    """What to buy does not hang on which colour does what: verdicts stay, and it is said."""
    known = job_of(hoist, None)
    blind = replace(known, cores=tuple(replace(core, role=None) for core in known.cores))
    found = {f.receiver: f for f in fit_receivers(blind, CATALOG, None)}
    assert {name: f.verdict for name, f in found.items()} == {n: f.verdict for n, f in fits(hoist).items()}
    assert all("no core of this cord is known to be" in f.open[0] for f in found.values())
    assert specification(blind, CATALOG) == specification(known, CATALOG)


@pytest.mark.parametrize("receiver", ["six-channel-stop-pair", "eight-channel-two-speed"])
@pytest.mark.parametrize("hoist", ["reversing-contactors-24", "reversing-contactors-115"])
def test_the_stop_key_works_stop_outputs_only(hoist: str, receiver: str) -> None:
    """No motion output is made a stop: one that welds is a stop lost with nobody the wiser."""
    found = search(job_of(hoist, receiver), CATALOG)
    stops = set(CATALOG.receivers[receiver].stop_outputs)
    assert found.candidates
    for candidate in found.candidates:
        rows = candidate.proposal.job.receiver.outputs
        assert {row.id for row in rows if row.key == "stop"} <= stops
        chosen = candidate.laid.assignment.chosen
        assert {want.button for want, pole in chosen if stops & set(pole.outputs)} == {"stop"}


@pytest.mark.parametrize(
    ("hoist", "receiver"),
    [
        ("reversing-contactors-48", "six-channel-stop-pair"),
        ("capacitor-motor-direct-240-two-line", "two-channel-dry"),
    ],
)
def test_what_is_offered_stands_every_single_fault(hoist: str, receiver: str) -> None:
    """Both lines are switched, and neighbours in the cable are no pair whose short matters."""

    def prove(job: Job, catalog: Catalog) -> Plan:
        return plan(job, catalog, faults="single")

    job = job_of(hoist, receiver)
    gear = LoadHolding("load-pressure brake in the gear", "plate")  # what holds it no conversion changes
    job = replace(job, hoist=replace(job.hoist, load_holding=gear))
    best = propose_connections(job, CATALOG, plan, prove)[0]
    assert best.plan is not None and best.plan.behaviour and best.plan.behaviour.faults is not None
    assert best.stands, best.open
