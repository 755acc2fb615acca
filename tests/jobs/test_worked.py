"""Whole conversions, good and bad: each job with what it must be told.

An expectation stands in `expect/` beside its job and is data:
`verdict` of the job; `fails`: every failed finding about the converted hoist, or `left_out`: the
rules about which nothing is expected here while none of the others may fail; `unknown`: every
open question, as "rule | subject"; `before`: what fails about the hoist as found; `[[finding]]`:
one finding by name; `[[row]]`: what moves in one state, with faults in it; `[[change]]`: the same
job with some words replaced, and what is said then.
"""

from __future__ import annotations

import functools
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.jobs.plans import CONVERSIONS, DEMO, WORKED, finding, objections, planned, replanned, swapped
from wiring.circuit import build_after, build_before
from wiring.files import load_catalog, load_job
from wiring.model.plan import Plan
from wiring.simulate import Bench

NAMES = sorted(path.stem for folder in (WORKED, CONVERSIONS) for path in (folder / "expect").glob("*.toml"))


def folder_of(name: str) -> Path:
    return WORKED if (WORKED / "expect" / f"{name}.toml").exists() else CONVERSIONS


@functools.cache
def expected(name: str) -> dict[str, Any]:
    """The expectation of a job."""
    return tomllib.loads((folder_of(name) / "expect" / f"{name}.toml").read_text("utf-8"))


def job_of(name: str) -> Path:
    """The job file: beside its expectation, or one of the demos."""
    beside = folder_of(name) / f"{name}.toml"
    return beside if beside.exists() else DEMO / f"{name}.toml"


def plan_of(name: str) -> Plan:
    return planned(job_of(name), expected(name).get("faults", "single"))


def named(pairs: set[tuple[str, str]]) -> list[str]:
    return sorted(f"{rule} | {subject}" for rule, subject in pairs)


def said(plan: Plan, row: dict[str, Any]) -> None:
    """One finding as the row wants it."""
    found = finding(plan, row["rule"], row["subject"], row.get("about", "after"))
    assert found.verdict == row["verdict"], found
    for words in row.get("says", ()):
        assert words in f"{found.found} {found.wanted}", found
    for words in row.get("remedy", ()):
        assert words in " / ".join(found.remedies), found
    if row["verdict"] == "fail":
        assert found.remedies and found.source and found.wanted


def test_every_job_has_an_expectation() -> None:
    """No job of the two folders is left without one, and every conversion comes as wished and corrected."""
    jobs = {path.stem for folder in (WORKED, CONVERSIONS) for path in folder.glob("*.toml")}
    assert jobs <= set(NAMES)
    wished = {name.removesuffix("-as-wished") for name in jobs if name.endswith("-as-wished")}
    corrected = {name.removesuffix("-corrected") for name in jobs if name.endswith("-corrected")}
    assert wished == corrected and len(wished) == 5


@pytest.mark.parametrize("name", NAMES)
def test_verdict(name: str) -> None:
    """The job's verdict, and every open question it names: no more, no fewer."""
    want, plan = expected(name), plan_of(name)
    if "verdict" in want:
        assert plan.report.verdict == want["verdict"]
    if "unknown" in want:
        assert named(objections(plan, "unknown")) == sorted(want["unknown"])
    if "before" in want:
        assert named(objections(plan, "fail", "before")) == sorted(want["before"])


@pytest.mark.parametrize("name", [n for n in NAMES if {"fails", "left_out"} & set(expected(n))])
def test_what_fails(name: str) -> None:
    """Where all fails are listed, no other rule fails on the converted hoist."""
    want = expected(name)
    left_out = set(want.get("left_out", ()))
    fails = {pair for pair in objections(plan_of(name), "fail") if pair[0] not in left_out}
    assert named(fails) == sorted(want.get("fails", ()))


@pytest.mark.parametrize(
    ("name", "row"),
    [(n, row) for n in NAMES for row in expected(n).get("finding", ())],
    ids=lambda x: x if isinstance(x, str) else f"{x['rule']} {x['subject']} {x['verdict']}",
)
def test_named_finding(name: str, row: dict[str, Any]) -> None:
    """A finding by rule and subject has its verdict, its words and a way out."""
    said(plan_of(name), row)


@functools.cache
def bench(name: str, side: str) -> Bench:
    """The job's circuit as found or as converted, on the bench."""
    job, catalog = load_job(job_of(name)), load_catalog(folder_of(name))
    return Bench(build_before(job, catalog) if side == "before" else build_after(job, catalog))


@pytest.mark.parametrize(
    ("name", "row"),
    [(n, row) for n in NAMES for row in expected(n).get("row", ())],
    ids=lambda x: x if isinstance(x, str) else " ".join([*x.get("with", ()), *x.get("broken", ())]) or "rest",
)
def test_what_moves(name: str, row: dict[str, Any]) -> None:
    """In a state, with the faults named in it, this moves and nothing else."""
    hand = bench(name, row.get("side", "after"))
    settled = hand.jump(row.get("with", ()), row.get("broken", ()))
    assert sorted(settled.motions) == sorted(row["moves"])
    if "in" in row:
        coils = [c for c in settled.energised if c != "receiver:supply"]
        assert sorted(coils) == sorted(row["in"])
    if "torque" in row:
        assert set(settled.torque.values()) == {row["torque"]}


@pytest.mark.parametrize(
    ("name", "change"),
    [(n, change) for n in NAMES for change in expected(n).get("change", ())],
    ids=lambda x: x if isinstance(x, str) else x["what"],
)
def test_changed(name: str, change: dict[str, Any]) -> None:
    """With one thing changed in the job, the rule that watches it says so."""
    text = swapped(job_of(name).read_text("utf-8"), *((old, new) for old, new in change["swap"]))
    plan = replanned(plan_of(name), text, change.get("faults", "none"))
    assert change["finding"]
    for row in change["finding"]:
        said(plan, row)
