"""Everything that a rule says about its cases and about the base jobs, as text to compare with.

`tests/rules/told/<rule>.txt` holds it. A change of a rule that moves a verdict, a figure
or a sentence shows there. `python -m tests.rules.told` writes the files anew; read the
difference before it is committed.
"""

from __future__ import annotations

import functools
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.rules import told_jobs
from tests.rules.cases import HERE, Case, Prepared, load, prepare
from wiring.check import RULES
from wiring.check.rule import Rule
from wiring.model.finding import Finding
from wiring.model.plan import Report

FOLDER = HERE / "told"
BASES = ("malt", "gantry", "winch", "two-line", "drive")


@functools.cache
def cases_of(rule: str) -> tuple[Case, ...]:
    """The cases of a rule, and each base job as it is, when everything is due."""
    bases = (Case(rule, f"base job {base}", "", base, {"stage": "hand-over"}) for base in BASES)
    return (*(c for c in every() if c.rule == rule), *bases)


@functools.cache
def every() -> tuple[Case, ...]:
    return tuple(load())


@functools.cache
def prepared(rule: str) -> list[Prepared]:
    """The cases of a rule, ready to be judged."""
    with tempfile.TemporaryDirectory() as folder:
        return [prepare(case, Path(folder)) for case in cases_of(rule)]


def told(ready: list[Prepared], rule: Rule | None = None) -> str:
    """What a rule, or another one in its place, says about its cases."""
    blocks = []
    for one in ready:
        blocks.append("\n".join((f"# {one.case.name}", *said(one.report(rule) if rule else one.own))))
    return "\n\n".join(blocks) + "\n"


def said(report: Report) -> Iterator[str]:
    """One line a finding, with its figures, its computation and what it rests on."""
    for f in sorted((*report.findings, *report.to_show), key=_order):
        yield f"{f.verdict} {f.subject} ({f.about}): {f.found} [{f.where}]"
        if f.measured is not None and f.limit is not None:
            yield f"    {f.measured:.4g} {f.sense} {f.limit:.4g} {f.unit}"
        if f.wanted:
            yield f"    wanted: {f.wanted}"
        if f.path:
            yield f"    {f.path}"
        if f.rests_on:
            yield f"    rests on {', '.join(sorted(f.rests_on))}"


def _order(f: Finding) -> tuple[str, str, str, str]:
    return (f.subject, f.about, str(f.verdict), f.found)


def main() -> None:
    """Write the texts of all rules, and those of whole jobs."""
    FOLDER.mkdir(exist_ok=True)
    for rule in RULES:
        (FOLDER / f"{rule}.txt").write_text(told(prepared(rule)), "utf-8")
    told_jobs.main()


if __name__ == "__main__":
    main()
