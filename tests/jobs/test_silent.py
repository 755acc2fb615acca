"""A job that states nothing of its own: no verdict may stand on a placeholder of the catalog.

For every hoist type the barest conversion: cores by role, one contact of the receiver for each
contact of the handset, the receiver fed where the type says. No value, no rating, no fact.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

import pytest

from wiring.files import load_catalog
from wiring.files.job import read_job
from wiring.model.entry import Catalog, HoistType, ReceiverType
from wiring.model.finding import Finding, Verdict
from wiring.model.plan import Plan
from wiring.model.value import Value
from wiring.pipeline import plan

CATALOG = load_catalog()
HOISTS = sorted(CATALOG.hoists)
RECEIVERS = ("two-channel-dry", "six-channel-stop-pair")
JUDGED = (Verdict.PASS, Verdict.FAIL)


def bare(hoist: HoistType, receiver: ReceiverType) -> str:
    """The text of the job: types, cores, connections, and nothing else."""
    ids = {core.role: str(i) for i, core in enumerate(hoist.cores, 1)}
    lines = ["[job]", 'title = "Nothing stated"', 'region = "iec"', 'stage = "design"', "",
             "[hoist]", f'type = "{hoist.id}"', "", "[cord]", 'fate = "removed"', "",
             "[pendant]", 'fate = "removed"', "", "[receiver]", f'type = "{receiver.id}"', ""]  # fmt: skip
    for role, id in ids.items():
        lines += ["[[core]]", f'id = "{id}"', f'role = "{role}"', ""]
    ends: list[tuple[str, str]] = []
    for output, pins, key, roles in paired(hoist, receiver):
        lines += ["[[receiver.output]]", f'id = "{output}"', f'key = "{key}"', ""]
        ends += [(f"core:{ids[role]}", f"receiver:{pin}") for role, pin in zip(roles, pins, strict=True)]
    place = next((p for p in hoist.insertions if p.place == "receiver-supply"), None)
    if place:
        fed = [f"hoist:{name}".replace("hoist:plug.", "plug:") for name in place.frees]
        ends += [(fed[i], f"receiver:{pin}") for i, pin in enumerate(receiver.supply_terminals)]
    for one, other in dict.fromkeys(ends):
        lines += ["[[connection]]", f'from = "{one}"', f'to = "{other}"', ""]
    return "\n".join(lines)


def paired(
    hoist: HoistType, receiver: ReceiverType
) -> Iterator[tuple[str, tuple[str, ...], str, tuple[str, ...]]]:
    """A free output for each handset contact that lies between two cores, as far as they go.

    A contact that hangs on a junction behind the handset's stop is taken from the core before it.
    A shared common takes cores of one role only.
    """
    before = {c.between[1]: c.between[0] for c in hoist.contacts if c.by.startswith("stop:")}
    free = [(o.id, p.at) for o in receiver.outputs if not o.key and o.id not in receiver.stop_outputs
            for p in receiver.net.parts if p.by == f"output:{o.id}" and p.form == "NO"]  # fmt: skip
    common: dict[str, str] = {}
    for contact in hoist.contacts:
        if not contact.by.startswith("button:") or contact.form != "NO" or not free:
            continue
        roles = tuple(before.get(end, end) for end in contact.between)
        if any(role in hoist.handset_junctions for role in roles):
            continue
        output, pins = free[0]
        if common.setdefault(pins[0], roles[0]) == roles[0]:
            free.pop(0)
            yield output, pins, contact.by.removeprefix("button:"), roles


@functools.cache
def silent(hoist: str, receiver: str, end: str = "si") -> Plan:
    """The plan of the barest job. end: where in their spread the hoist's placeholders stand."""
    catalog = CATALOG if end == "si" else at(end, hoist)
    text = bare(CATALOG.hoists[hoist], CATALOG.receivers[receiver])
    job = read_job(text, "job.toml", CATALOG)
    return plan(job, catalog)


def at(end: str, hoist: str) -> Catalog:
    """The catalog with every placeholder of one hoist at an end of its spread; the spread stays."""
    return dataclasses.replace(CATALOG, hoists=MappingProxyType({hoist: moved(CATALOG.hoists[hoist], end)}))


def moved(thing: Any, end: str) -> Any:
    """An entry with its placeholder values at `low` or `high`."""
    if isinstance(thing, Value):
        return thing.moved(getattr(thing, end)) if thing.basis == "placeholder" else thing
    if isinstance(thing, Mapping):
        return MappingProxyType({key: moved(value, end) for key, value in thing.items()})
    if isinstance(thing, tuple):
        return tuple(moved(value, end) for value in thing)
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        fields = {f.name: moved(getattr(thing, f.name), end) for f in dataclasses.fields(thing)}
        return dataclasses.replace(thing, **fields)
    return thing


def placeholders(plan: Plan) -> set[str]:
    """Ids of every placeholder in both circuits and in what the findings used."""
    found = set()
    for circuit in (plan.before, plan.after):
        assert circuit is not None
        held = [p.values for p in circuit.parts] + [m.values for m in circuit.motors]
        found |= {v.id for values in held for v in values.values() if v.basis == "placeholder"}
    for finding in plan.report.findings:
        found |= {line.split(" = ")[0] for line in finding.values if "(placeholder:" in line}
    return found


@pytest.mark.parametrize("receiver", RECEIVERS)
@pytest.mark.parametrize("hoist", HOISTS)
def test_no_verdict_rests_on_a_placeholder(hoist: str, receiver: str) -> None:
    """Neither pass nor fail rests on a placeholder, and what does is unknown with the key to state."""
    report = silent(hoist, receiver).report
    weak = placeholders(silent(hoist, receiver))
    assert len(weak) > 3 and report.verdict != Verdict.PASS
    for finding in report.findings:
        on = weak & set(finding.rests_on)
        if finding.verdict in JUDGED:
            assert not on, finding
            assert finding.basis != "placeholder"
        elif on:
            asked = " ".join(finding.remedies)
            assert any(id in asked or f"{id.rpartition('.')[2]} = " in asked for id in on), finding


def by_name(plan: Plan) -> dict[tuple[str, str, str], Finding]:
    return {(f.rule, f.subject, f.about): f for f in plan.report.findings}


@pytest.mark.parametrize("hoist", HOISTS)
def test_no_verdict_turns_where_a_placeholder_moves(hoist: str) -> None:
    """With every placeholder of the type at one end of its spread no pass turns to fail nor back."""
    here = by_name(silent(hoist, RECEIVERS[0]))
    for end in ("low", "high"):
        there = by_name(silent(hoist, RECEIVERS[0], end))
        for name in here.keys() & there.keys():
            verdicts = {here[name].verdict, there[name].verdict}
            assert verdicts != set(JUDGED), (end, here[name], there[name])


def test_the_bare_jobs_are_not_idle() -> None:
    """Most of these conversions move when a key is held, and both verdicts occur in all of them."""
    plans = [silent(hoist, receiver) for hoist in HOISTS for receiver in RECEIVERS]
    behaviours = [p.behaviour for p in plans if p.behaviour is not None]
    assert len(behaviours) == len(plans)
    assert sum(any(s.motions for s in b.settled_after) for b in behaviours) > len(plans) / 3
    assert all(p.report.counts.passed and p.report.counts.failed and p.report.counts.unknown for p in plans)
