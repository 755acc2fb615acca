"""Everything the rules say about whole jobs, as text to compare with.

`tests/rules/told_jobs/<job>.txt` holds it: every finding with its figures, what it rests on and
what to do; of two jobs also in the other region. Jobs with slips in them are among them.
`python -m tests.rules.told` writes these files anew too.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from wiring.check import judge
from wiring.circuit import build_after, build_before
from wiring.files import load_catalog
from wiring.files.job import load_job
from wiring.model.behaviour import Behaviour
from wiring.model.circuit import Circuit
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Report
from wiring.simulate import behaviour

FOLDER = Path(__file__).with_name("told_jobs")
WORKED = Path(__file__).parents[1] / "jobs" / "worked"
CONVERSIONS = Path(__file__).parents[1] / "jobs" / "conversions"
#: The large crane is told by the tests of the worked jobs.
JOBS = {
    path.stem: path
    for folder in (WORKED, CONVERSIONS)
    for path in sorted(folder.glob("*.toml"))
    if "crane" not in path.stem
}
#: Jobs that are judged by the rules of the other region as well.
ABROAD = {"pump-hoist-corrected": "iec", "sack-hoist-as-wished": "us"}


@functools.cache
def prepared(name: str) -> tuple[Job, Catalog, Circuit, Circuit, Behaviour]:
    """A job, ready to be judged."""
    path = JOBS[name]
    # commands in advice name the file: by its name, wherever the tree lies
    job, catalog = replace(load_job(path), file=path.name), load_catalog(path)
    before, after = build_before(job, catalog), build_after(job, catalog)
    return job, catalog, before, after, behaviour(before, after, "single")


def told(name: str) -> str:
    """What all rules say about a job when everything is due."""
    job, catalog, before, after, shown = prepared(name)
    found = list(lines(judge(job, catalog, before, after, shown, "hand-over")))
    if name in ABROAD:
        moved = replace(job, region=ABROAD[name])
        found += ["", *lines(judge(moved, catalog, before, after, shown, "hand-over"))]
    return "\n".join(found) + "\n"


def lines(report: Report) -> Iterator[str]:
    """One line a finding, then its figures and advice."""
    yield f"{report.verdict}: {report.counts}"
    for f in (*report.findings, *report.to_show):
        yield from _finding(f)


def _finding(f: Finding) -> Iterator[str]:
    yield f"{f.rule} {f.verdict} {f.danger} {f.subject} ({f.about}): {f.found}"
    if f.verdict is Verdict.NOT_APPLICABLE:
        return
    if f.measured is not None:
        limit = "" if f.limit is None else f"{f.sense} {f.limit:.4g} "
        margin = "" if f.margin is None else f"margin {f.margin:.3f}"
        yield f"    {f.measured:.4g} {limit}{f.unit} {margin}"
    for word, text in (("wanted", f.wanted), ("path", f.path), ("do", " | ".join(f.remedies))):
        if text:
            yield f"    {word}: {text}"
    if f.rests_on:
        yield f"    rests on {', '.join(sorted(f.rests_on))}"


def main() -> None:
    """Write the texts of all jobs."""
    FOLDER.mkdir(exist_ok=True)
    for name in JOBS:
        (FOLDER / f"{name}.txt").write_text(told(name), "utf-8")


if __name__ == "__main__":
    main()
