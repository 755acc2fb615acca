"""Rule cases as data: a base job, some changes, and the finding that must come out.

A case file is named for its rule. `base` names a job of `bases/`, or of `tests/jobs/` where it has
a folder in its name. `set` puts values at key paths of the job
(`receiver.output.0.mode`; an index one past the end appends), `drop` takes keys
away, `add` appends rows to arrays. `faults`, `events`, `sneaks` and `limits` stand in for
what the simulation or the type would show, where the rule's own logic is what is tried;
`single = true` runs every single fault of the job.
"""

from __future__ import annotations

import datetime
import math
import tomllib
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

from wiring.check import RULES, digest, judge
from wiring.check.rule import Rule
from wiring.check.states import Settler, with_implied
from wiring.circuit import build_after, build_before
from wiring.files import load_catalog
from wiring.files.job import load_job
from wiring.model.behaviour import Behaviour, Event, FaultResult, Faults, Hazard, Settled, Sneak, Truth
from wiring.model.circuit import Circuit, Limit
from wiring.model.entry import Catalog
from wiring.model.finding import Finding
from wiring.model.job import Job
from wiring.model.plan import Report
from wiring.simulate import behaviour

HERE = Path(__file__).parent
KINDS = ("pass", "fail", "unknown")

#: Rules that look at events, truth tables or sneak paths; the others settle the states they ask for.
WHOLE = frozenset({
    "mode.link-return", "proof.both-pressed", "proof.load-held", "proof.loss-stops", "proof.no-restart",
    "proof.no-uncommanded", "proof.receiver-supply", "proof.release-stops", "proof.sneak",
})  # fmt: skip

_shown: dict[tuple[str, str, bool], Behaviour] = {}


@dataclass(frozen=True)
class Case:
    """One case of one rule."""

    rule: str
    name: str
    kind: str
    base: str
    body: dict[str, Any]

    @property
    def id(self) -> str:
        return f"{self.rule}: {self.name}"


def load(folder: Path = HERE) -> list[Case]:
    """Every case of every file."""
    found = []
    for path in sorted(folder.glob("*.toml")):
        data = tomllib.loads(path.read_text())
        for body in data["case"]:
            found.append(
                Case(path.stem, body["name"], body["kind"], body.get("base", data.get("base", "malt")), body)
            )
    return found


@dataclass(frozen=True)
class Prepared:
    """What a case gives its rule to look at."""

    case: Case
    job: Job
    catalog: Catalog
    before: Circuit | None
    after: Circuit | None
    shown: Behaviour | None

    @cached_property
    def own(self) -> Report:
        """The report of the case's rule alone."""
        return self.report(RULES[self.case.rule])

    def report(self, rule: Rule) -> Report:
        """The report of a rule that stands in the place of the case's own."""
        stage = self.case.body.get("stage", rule.stage)
        return judge(
            self.job, self.catalog, self.before, self.after, self.shown, stage, rules={rule.id: rule}
        )


def prepare(case: Case, folder: Path) -> Prepared:
    """Job, circuits and behaviour of one case. folder: where the changed job is written."""
    path = folder / "job.toml"
    text = dump(changed(case))
    catalog = load_catalog(folder)
    if "@digest" in text:  # the digest of this very plan, which leaves approvals out
        path.write_text(text.replace("@digest", "0" * 12))
        text = text.replace("@digest", digest(load_job(path), catalog)[0])
    path.write_text(text)
    job = load_job(path)
    before = build_before(job, catalog) if job.hoist.type else None
    after = build_after(job, catalog) if job.hoist.type and job.receiver.type else None
    wants = RULES[case.rule].wants
    shown = None
    # mode.stations is asked of jobs without circuits too
    if wants in ("behaviour", "faults") or case.rule == "mode.stations" or case.body.get("single"):
        shown = simulated(before, after, case.rule in WHOLE, case.body.get("single", False))
    if after is not None and "limits" in case.body:
        after = replace(after, limits=tuple(Limit(**row) for row in case.body["limits"]))
    if shown is not None:
        shown = planted(shown, case.body)
    return Prepared(case, job, catalog, before, after, shown)


def complaints(report: Report, case: Case) -> list[str]:
    """What the finding of a case lacks. Empty: it has its verdict, its words, its figures and a source."""
    found = finding(report, case)
    body = case.body
    text = f"{found.found} | {found.wanted} | {found.path} | {found.remedy}"
    wrong = [
        (str(found.verdict) != case.kind, f"{found.verdict}: {found.found}"),
        (body.get("says", "") not in text, f"does not say {body.get('says')}: {text}"),
        ("the check itself failed" in found.found, found.found),
        (case.kind in ("fail", "unknown") and not found.remedy, "no next step"),
        (case.kind in KINDS and not (found.wanted and found.source), "no measure or no source"),
        (not set(body.get("rests_on", ())) <= set(found.rests_on), f"rests on {found.rests_on}"),
    ]
    for name in ("measured", "limit"):
        given = getattr(found, name)
        if name in body and (given is None or not math.isclose(given, body[name], rel_tol=1e-3)):
            wrong.append((True, f"{name} {given}, wanted {body[name]}"))
    return [words for bad, words in wrong if bad]


def finding(report: Report, case: Case) -> Finding:
    """The finding the case is about. Fails with what there is where it is missing."""
    subject, about = case.body.get("subject"), case.body.get("about")
    every = (*report.findings, *report.to_show)
    found = [f for f in every if subject in (None, f.subject) and about in (None, f.about)]
    there = [(f.subject, f.about, str(f.verdict), f.found) for f in every]
    assert found, f"no finding about {subject}; there are {there}"
    return found[0]


def simulated(before: Circuit | None, after: Circuit | None, whole: bool, single: bool) -> Behaviour | None:
    """The behaviour of two circuits, remembered between cases. single: with every single fault;
    whole: with events, truth tables and sneak paths; else the rule asks for settled states only,
    and they are settled when asked for."""
    if before is None or after is None:
        return None
    if not whole and not single:
        none = Truth(True, 0, ())
        return Behaviour(none, none, (), (), None, (), (), (), (), 0.0, few(before), few(after))
    key = (repr(before), repr(after), single)
    if key not in _shown:
        _shown[key] = behaviour(before, after, "single" if single else "none")
    return _shown[key]


def few(circuit: Circuit) -> tuple[Settled, ...]:
    """Rest and every state of one or two commands."""
    settler = Settler(circuit)
    names = [
        i.name
        for i in circuit.inputs
        if i.kind in ("key", "button") and not i.name.endswith(("start", "stop"))
    ]
    pairs = [frozenset((a, b)) for i, a in enumerate(names) for b in names[i + 1 :]]
    states = [frozenset[str](), *(with_implied(circuit, n) for n in names), *pairs]
    return tuple(settler.at(s) for s in dict.fromkeys(states))


def planted(shown: Behaviour, body: dict[str, Any]) -> Behaviour:
    """The behaviour with the faults and events that a case brings along."""
    if "faults" in body:
        results = tuple(_fault(f) for f in body["faults"])
        judged = [r.judgement for r in results]
        faults = Faults(
            kind=body.get("fault_kind", "single"),
            count=len(results),
            worse=judged.count("worse"),
            same=judged.count("same"),
            better=judged.count("better"),
            none=judged.count("none"),
            below_floor=sum(r.below_floor for r in results),
            results=results,
            sampled=body.get("sampled", False),
        )
        shown = replace(shown, faults=faults)
    if "sneaks" in body:
        shown = replace(shown, sneaks=tuple(_sneak(s) for s in body["sneaks"]))
    if "events" in body:
        shown = replace(shown, events=tuple(_event(e) for e in body["events"]))
    return shown


def _fault(row: dict[str, Any]) -> FaultResult:
    hazards = tuple(
        Hazard(
            h["hazard"],
            h.get("motion", "hoist up"),
            tuple(h.get("stops_left", ())),
            h.get("before"),
            h.get("after"),
        )
        for h in row.get("hazards", ())
    )
    return FaultResult(
        tuple(row["fault"]), row.get("kind", ""), hazards, row.get("compared_with", ""),
        row.get("judgement", "none"), row.get("below_floor", False), tuple(row.get("story", ())),
    )  # fmt: skip


def _event(row: dict[str, Any]) -> Event:
    return Event(
        row["event"], row.get("about", "after"), tuple(row.get("pressed", ())), tuple(row.get("open", ())),
        (),
        tuple(row.get("motions", ())), (), row["verdict"], row.get("why", ""), (), row.get("subject", ""),
    )  # fmt: skip


def _sneak(row: dict[str, Any]) -> Sneak:
    return Sneak(
        row.get("about", "after"), row.get("kind", "partial-voltage"), row["subject"],
        frozenset(row.get("state", ())), row["volts"], row["fraction"], tuple(row.get("path", ())),
    )  # fmt: skip


def changed(case: Case) -> dict[str, Any]:
    """The base job with the changes of the case."""
    folder = HERE.parent / "jobs" if "/" in case.base else HERE / "bases"
    job: dict[str, Any] = tomllib.loads((folder / f"{case.base}.toml").read_text())
    for path, value in case.body.get("set", {}).items():
        put(job, path.split("/"), value)
    for path in case.body.get("drop", ()):
        take(job, path.split("/"))
    for name, rows in case.body.get("add", {}).items():
        job.setdefault(name, []).extend(rows)
    return job


def put(node: Any, keys: list[str], value: Any) -> None:
    """Set a value at a path; makes tables on the way, appends one past the end of an array."""
    for key, following in zip(keys, [*keys[1:], ""], strict=True):
        last = following == ""
        if isinstance(node, list):
            at = int(key)
            if at == len(node):
                node.append({})
            if last:
                node[at] = value
            node = node[at]
        elif last:
            node[key] = value
        else:
            node = node.setdefault(key, [] if following.isdigit() else {})


def take(node: Any, keys: list[str]) -> None:
    """Take a key or an entry away. Fails where it is not there, so that a case cannot go stale."""
    for key in keys[:-1]:
        node = node[int(key)] if isinstance(node, list) else node[key]
    del node[int(keys[-1]) if isinstance(node, list) else keys[-1]]


def dump(job: dict[str, Any]) -> str:
    """A job as TOML: small, for tests only."""
    lines: list[str] = []
    for name, value in job.items():
        if isinstance(value, dict):
            lines += [
                f"[{name}]",
                *(f"{_key(k)} = {_value(v)}" for k, v in value.items() if not _rows(v)),
                "",
            ]
            lines += _arrays(name, value)
        elif _rows(value):
            for row in value:
                lines += [f"[[{name}]]", *(f"{_key(k)} = {_value(v)}" for k, v in row.items()), ""]
        else:
            lines.insert(0, f"{_key(name)} = {_value(value)}")
    return "\n".join(lines) + "\n"


def _arrays(name: str, table: dict[str, Any]) -> list[str]:
    lines = []
    for key, rows in table.items():
        for row in rows if _rows(rows) else ():
            lines += [f"[[{name}.{key}]]", *(f"{_key(k)} = {_value(v)}" for k, v in row.items()), ""]
    return lines


def _rows(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def _key(key: str) -> str:
    return key if key.replace("_", "").replace("-", "").isalnum() else f'"{key}"'


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime.datetime | datetime.date):
        return value.isoformat()
    if isinstance(value, int | float):
        return str(value)
    if isinstance(value, list):
        return "[" + ", ".join(_value(v) for v in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    text = str(value).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{text}"'
