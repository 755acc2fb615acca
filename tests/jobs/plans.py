"""Jobs planned once each, and findings looked up by name: what the tests of whole jobs share."""

from __future__ import annotations

import functools
import tempfile
from dataclasses import replace
from pathlib import Path

from wiring.check import judge
from wiring.files import catalog_root, load_job
from wiring.model.finding import Finding
from wiring.model.plan import Plan
from wiring.pipeline import circuits, plan

DEMO = catalog_root() / "demo"
WORKED = Path(__file__).parent / "worked"
CONVERSIONS = Path(__file__).parent / "conversions"


@functools.cache
def planned(path: Path, faults: str = "none") -> Plan:
    """The plan of a job file, made once in a test run."""
    return plan(load_job(path), faults=faults)


@functools.cache
def planned_text(text: str, faults: str = "none") -> Plan:
    """The plan of a job that is no file yet, made once in a test run."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(text, "utf-8")
        return plan(load_job(path), faults=faults)


def replanned(base: Plan, text: str, faults: str = "none") -> Plan:
    """The plan of a changed job. Where the change leaves both circuits as they are, what they do is
    taken from the plan it comes from and the rules alone are asked again."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(text, "utf-8")
        job = load_job(path)
        if circuits(job, base.catalog) != (base.before, base.after):
            return planned_text(text, faults)
        report = judge(job, base.catalog, base.before, base.after, base.behaviour)
        return replace(base, job=job, report=report)


def swapped(text: str, *changes: tuple[str, str]) -> str:
    """A job's text with some words replaced. Each must stand there once, so that none goes stale."""
    for old, new in changes:
        assert text.count(old) == 1, f"{text.count(old)} times in the job: {old!r}"
        text = text.replace(old, new)
    return text


def block(text: str, start: str) -> str:
    """The whole table of a job's text that holds `start`, up to the blank line after it."""
    assert text.count(start) == 1, f"{text.count(start)} times in the job: {start!r}"
    at = text.index(start)
    return text[text.rindex("\n\n", 0, at) + 1 : text.index("\n\n", at) + 1]


def finding(plan: Plan, rule: str, subject: str, about: str = "after") -> Finding:
    """One finding of a plan. Fails with what the rule did say where it is missing."""
    said = [f for f in (*plan.report.findings, *plan.report.to_show) if f.rule == rule]
    for one in said:
        if (one.subject, one.about) == (subject, about):
            return one
    raise AssertionError(f"{rule} says nothing about {subject} ({about}); it says {said}")


def objections(plan: Plan, verdict: str, about: str = "after") -> set[tuple[str, str]]:
    """Rule and subject of every finding with a verdict."""
    return {(f.rule, f.subject) for f in plan.report.findings if f.verdict == verdict and f.about == about}
