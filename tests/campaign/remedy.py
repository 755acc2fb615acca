"""Good plans spoilt by one slip each, and what the remedy makes of them.

A repair counts where the repaired job gives every motion, fails in nothing, has no unknown
that the good job did not have, and changes no more than twice the lines the slip changed.
"""

from __future__ import annotations

import difflib
import random
import time
from collections import Counter
from dataclasses import dataclass
from typing import Any

from tests.planner.made import job_of, lived_in
from tests.planner.slips import SPOILS
from wiring.circuit import build_after, build_before
from wiring.files import InputError, catalog_root, edit_job, load_catalog, read_job
from wiring.model.entry import Catalog
from wiring.model.finding import Verdict
from wiring.model.job import Job
from wiring.model.plan import Plan
from wiring.pipeline import plan
from wiring.planner.difference import edits_between
from wiring.planner.propose import failing, propose_connections
from wiring.planner.remedy import remedies
from wiring.planner.trial import Trial

CATALOG = load_catalog()
DEMOS = ("malt-second-plan", "slipway-gantry")
#: The planner's own proposals that are spoilt beside the demos.
OWN = (
    ("capacitor-motor-direct-120", "two-channel-dry"),
    ("capacitor-motor-direct-120-second-return", "two-channel-dry"),
    ("reversing-contactors-115", "two-channel-dry"),
    ("reversing-contactors-24", "six-channel-stop-pair"),
    ("reversing-contactors-48", "eight-channel-two-speed"),
)
HEAD = '[job]\ntitle = "made"\nregion = "us"\nstage = "design"\n'


@dataclass(frozen=True)
class Good:
    """A plan without a failing finding, as a file."""

    name: str
    text: str
    job: Job
    plan: Plan
    trial: Trial


def good_plans(only: tuple[str, ...] = ()) -> list[Good]:
    """The demos and the planner's own proposals that stand. only: these demos and nothing else."""
    found = []
    for name in only or DEMOS:
        path = catalog_root() / "demo" / f"{name}.toml"
        text = path.read_text("utf-8")
        found.append(_good(name, text, str(path)))
    for hoist, receiver in () if only else OWN:
        best = propose_connections(lived_in(job_of(hoist, receiver)), CATALOG, plan)[0]
        text = text_of(best.job)
        found.append(_good(f"{hoist} + {receiver}", text, "made.toml"))
    return [good for good in found if not failing(good.plan)]


def _good(name: str, text: str, file: str) -> Good:
    job = read_job(text, file, CATALOG)
    return Good(name, text, job, proved(job, CATALOG), Trial(build_before(job, CATALOG)))


def proved(job: Job, catalog: Catalog) -> Plan:
    """A plan with every single fault."""
    return plan(job, catalog, faults="single")


def text_of(job: Job) -> str:
    """A made job as the text of a file."""
    bare = read_job(HEAD.replace('"us"', f'"{job.region}"'), "made.toml", CATALOG)
    return edit_job(HEAD.replace('"us"', f'"{job.region}"'), edits_between(bare, job))


def run(n: int, seed: int, only: tuple[str, ...] = ()) -> dict[str, Any]:
    """n random slips; figures by kind, and every one that was not answered. only: demos to spoil."""
    rng = random.Random(seed)
    goods = good_plans(only)
    began = time.perf_counter()
    kinds: Counter[str] = Counter()
    answered: Counter[str] = Counter()
    open_: list[dict[str, Any]] = []
    done = 0
    while done < n:
        good, kind = rng.choice(goods), rng.choice(list(SPOILS))
        spoilt = SPOILS[kind](good.job, CATALOG, rng)
        if spoilt is None:
            continue
        try:
            text = edit_job(good.text, edits_between(good.job, spoilt))
            job = read_job(text, good.job.file, CATALOG)
        except InputError:
            continue
        done += 1
        kinds[kind] += 1
        fault = verdict(good, text, job)
        if fault:
            open_.append({"plan": good.name, "kind": kind, "why": fault, "slip": changed(good.text, text)})
        else:
            answered[kind] += 1
    return {
        "n": n,
        "seed": seed,
        "good_plans": [good.name for good in goods],
        "answered": sum(answered.values()),
        "share": round(sum(answered.values()) / n, 4) if n else None,
        "by_kind": {kind: f"{answered[kind]} of {kinds[kind]}" for kind in SPOILS},
        "not_answered": open_,
        "seconds": round(time.perf_counter() - began, 1),
    }


def verdict(good: Good, text: str, job: Job) -> str:
    """Empty where the slip is answered, else why it is not."""
    spoilt = proved(job, CATALOG)
    fixed, repaired, lines = job, spoilt, 0
    if failing(spoilt):
        changes = remedies(spoilt, plan, text, proved)
        if not changes:
            return "no change found"
        fixed, repaired = changes[-1].job, changes[-1].plan or spoilt
        lines = sum(
            line[:1] in "+-" and line[:3] not in ("+++", "---") for line in changes[-1].diff.splitlines()
        )
    if failing(repaired):
        first = failing(repaired)[0]
        return f"still fails: {first.rule} {first.subject}: {first.found}"
    seen = good.trial.look(build_after(fixed, CATALOG), enough=1)
    if not seen.stands:
        return f"a motion is missing: {seen.wrong[0]}"
    fresh = unknowns(repaired) - unknowns(good.plan)
    if fresh:
        return f"unknown that was not: {sorted(fresh)[0]}"
    slip = len(changed(good.text, text))
    return f"{lines} lines for a slip of {slip}" if lines > 2 * slip else ""


def unknowns(found: Plan) -> set[tuple[str, str]]:
    """Rule and subject of what is unknown about the conversion."""
    return {
        (f.rule, f.subject)
        for f in found.report.findings
        if f.verdict is Verdict.UNKNOWN and f.about == "after"
    }


def changed(old: str, new: str) -> list[str]:
    """Lines that a diff takes out or puts in."""
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), n=0, lineterm="")
    return [line for line in lines if line[:1] in "+-" and line[:3] not in ("+++", "---")]
