"""What verdicts rest on, by brute force on the demos: each weak value moved where it comes from.

The catalog or the circuit is changed, run and judged anew, and no value is weak any more;
so the verdicts are bare ones. Where one changes, the report of the unchanged job must list
that value, and what it lists must change the verdict. n: how many values (0: all).
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import MappingProxyType

from wiring.check import judge
from wiring.circuit import build_after, build_before
from wiring.files import catalog_root, load_catalog, load_job
from wiring.model.behaviour import Behaviour
from wiring.model.circuit import Circuit, Motor, Part
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Report
from wiring.model.value import WEAK, Value
from wiring.simulate import behaviour

DEMOS = ("malt-first-try", "malt-second-plan", "slipway-gantry")
JUDGED = (Verdict.PASS, Verdict.FAIL)
Key = tuple[str, str, str]
Moves = Mapping[str, float]


@dataclass(frozen=True)
class Hoist:
    """A demo as it is: its circuits, its report, and every weak value that could reach it."""

    name: str
    job: Job
    catalog: Catalog
    before: Circuit
    after: Circuit
    shown: Behaviour
    report: Report
    weak: Mapping[str, Value]


def run(n: int, seed: int) -> dict[str, object]:
    """Every demo, every weak value or n of them, both ends."""
    hoists = [hoist(name) for name in DEMOS]
    every = [(h, v) for h in hoists for v in h.weak.values()]
    chosen = every if not 0 < n < len(every) else random.Random(seed).sample(every, n)
    bare = {h.name: verdicts(bare_report(h, {})) for h in hoists}
    failures: list[str] = []
    changes = 0
    for h, value in chosen:
        missed, seen = unlisted(h, value, bare[h.name])
        failures += missed
        changes += seen
    listed = {(h.name, i) for h in hoists for f in h.report.findings for i in f.rests_on if i in h.weak}
    for h in hoists:
        failures += idle(h, bare[h.name])
    return {
        "demos": list(DEMOS), "weak_values": len(every), "moved": len(chosen), "verdicts_changed": changes,
        "listed": sorted(" ".join(pair) for pair in listed), "failures": failures,
    }  # fmt: skip


@cache
def hoist(name: str) -> Hoist:
    """A demo planned without faults."""
    path = Path(str(catalog_root())) / "demo" / f"{name}.toml"
    job, catalog = load_job(path), load_catalog(path.parent)
    before, after = build_before(job, catalog), build_after(job, catalog)
    shown = behaviour(before, after)
    report = judge(job, catalog, before, after, shown)
    found = [v for c in (before, after) for v in values_of(c)]
    found += [v for d in job.devices for v in ratings(d.id, catalog.devices[d.type].rating)]
    found += [v for f in report.findings for v in cells(f, catalog)]
    weak = {v.id: v for v in found if v.basis in WEAK}
    return Hoist(name, job, catalog, before, after, shown, report, weak)


def values_of(circuit: Circuit) -> Iterator[Value]:
    for owner in (*circuit.parts, *circuit.motors):
        yield from owner.values.values()


def ratings(owner: str, rating: Mapping[str, Value]) -> Iterator[Value]:
    """The class figures of an added device under the names that findings give them."""
    for name, value in rating.items():
        yield replace(value, id=f"{owner}.rating.{name}")


def cells(finding: Finding, catalog: Catalog) -> Iterator[Value]:
    """The table cells a finding used."""
    for line in finding.values:
        value = catalog.value(line.partition(" = ")[0])
        if value is not None:
            yield value


def unlisted(h: Hoist, value: Value, bare: Mapping[Key, Verdict]) -> tuple[list[str], int]:
    """Verdicts that this value changes without being listed, and how many it changes."""
    real = {key(f): f for f in (*h.report.findings, *h.report.to_show)}
    missed, seen = [], 0
    for end in {value.low, value.high} - {value.si}:
        for at, verdict in verdicts(bare_report(h, {value.id: end})).items():
            if bare.get(at) in JUDGED and verdict is not bare[at]:
                seen += 1
                if value.id not in real[at].rests_on:
                    missed.append(f"{h.name} {at} {bare[at]} -> {verdict} at {value.id} = {end:g}")
    return missed, seen


def key(finding: Finding) -> Key:
    return finding.rule, finding.subject, finding.about


def verdicts(report: Report) -> dict[Key, Verdict]:
    return {key(f): f.verdict for f in report.findings}


def bare_report(h: Hoist, moves: Moves) -> Report:
    """The report where every weak value is certain, some of them at another number."""
    before, after = hard_circuit(h.before, moves), hard_circuit(h.after, moves)
    in_circuit = any(v.id in moves for c in (h.before, h.after) for v in values_of(c))
    shown = behaviour(before, after) if in_circuit else h.shown
    return judge(h.job, hard_catalog(h, moves), before, after, shown)


def hard(value: Value, moves: Moves) -> Value:
    """The value as if it had been read, at its own number or the one it is moved to."""
    si = moves.get(value.id, value.si)
    return replace(value, si=si, low=si, high=si, basis="read") if value.basis in WEAK else value


def hard_circuit(circuit: Circuit, moves: Moves) -> Circuit:
    def own(part: Part) -> Part:
        return replace(part, values=MappingProxyType({n: hard(v, moves) for n, v in part.values.items()}))

    def turned(motor: Motor) -> Motor:
        return replace(motor, values=MappingProxyType({n: hard(v, moves) for n, v in motor.values.items()}))

    return replace(circuit, parts=tuple(map(own, circuit.parts)), motors=tuple(map(turned, circuit.motors)))


def hard_catalog(h: Hoist, moves: Moves) -> Catalog:
    """The catalog with the tables and class figures of this job certain."""
    names = {v.id.partition("/")[0] for v in h.weak.values() if "/" in v.id}
    tables = {t: h.catalog.tables[t] for t in h.catalog.tables}
    for name in names:
        rows = {
            row: MappingProxyType({c: hard(v, moves) if isinstance(v, Value) else v for c, v in body.items()})
            for row, body in tables[name].rows.items()
        }
        tables[name] = replace(tables[name], rows=MappingProxyType(rows))
    devices = dict(h.catalog.devices)
    for device in h.job.devices:
        entry = devices[device.type]
        rating = {n: figure(device.id, n, v, moves) for n, v in entry.rating.items()}
        devices[device.type] = replace(entry, rating=MappingProxyType(rating))
    receivers = dict(h.catalog.receivers)
    named = h.job.receiver.type
    if named is not None:
        entry_ = receivers[named]
        receivers[named] = replace(
            entry_,
            rating=MappingProxyType({n: hard(v, moves) for n, v in entry_.rating.items()}),
            values=MappingProxyType({n: hard(v, moves) for n, v in entry_.values.items()}),
        )
    return replace(h.catalog, tables=tables, devices=devices, receivers=receivers)


def figure(owner: str, name: str, value: Value, moves: Moves) -> Value:
    """A class figure of a device, moved where its name on this job is."""
    moved = moves.get(f"{owner}.rating.{name}")
    return hard(value, {} if moved is None else {value.id: moved})


def idle(h: Hoist, bare: Mapping[Key, Verdict]) -> list[str]:
    """Findings that list weak values although moving them all together changes nothing at either end."""
    found = []
    for finding in h.report.findings:
        ids = [i for i in finding.rests_on if i in h.weak]
        ends = [{i: getattr(h.weak[i], end) for i in ids} for end in ("low", "high")] if ids else []
        if ids and all(verdicts(bare_report(h, e)).get(key(finding)) is bare[key(finding)] for e in ends):
            found.append(f"{h.name} {key(finding)} lists {', '.join(ids)}")
    return found
