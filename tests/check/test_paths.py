"""Every number of a finding can be followed: to its values with basis and source, and through its sum."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from wiring import load_job, plan
from wiring.files import catalog_root
from wiring.model.finding import Finding
from wiring.model.plan import Plan

DEMO = Path(str(catalog_root())) / "demo"
NAMES = ("malt-first-try", "malt-second-plan", "slipway-gantry")
LINE = re.compile(r"\S.* = \S+ .*\((read|derived|practice|stated|memory|placeholder): .+\)", re.DOTALL)


@cache
def planned(name: str) -> Plan:
    return plan(load_job(DEMO / f"{name}.toml"))


def numbers(name: str) -> list[Finding]:
    report = planned(name).report
    shown = (*report.findings, *report.to_show)
    # a number of the proof is read off the simulation of the whole circuit, not reckoned from a few values
    return [f for f in shown if f.measured is not None and not f.rule.startswith("proof.")]


@pytest.mark.parametrize("name", NAMES)
def test_a_number_has_its_values_and_its_computation(name: str) -> None:
    """Each number lists what it was made from, with address, basis and source; where it met a limit, how."""
    found = numbers(name)
    assert len(found) > 20
    for finding in found:
        at = (finding.rule, finding.subject)
        assert finding.values and finding.source and finding.unit, at
        assert all(LINE.fullmatch(line) for line in finding.values), at
        assert finding.limit is None or re.search(r"\d", finding.path), at


@pytest.mark.parametrize("name", NAMES)
def test_table_addresses_exist(name: str) -> None:
    """A value with a table's address is that cell, with its number."""
    given = planned(name)
    seen = 0
    for finding in given.report.findings:
        for line in finding.values:
            id, _, rest = line.partition(" = ")
            if "/" in id:
                value = given.catalog.value(id)
                assert value is not None and float(rest.split()[0]) == pytest.approx(value.si, rel=1e-5)
                seen += 1
    assert seen > 20


def test_the_computation_leads_to_the_number() -> None:
    """The last figure of a running-current path is the number compared, rounded against the limit."""
    for finding in numbers("malt-second-plan"):
        if finding.rule == "contact.steady":
            parts, _, total = finding.path.rpartition(" = ")  # one load alone stands without a sum
            each = [float(a) for a in re.findall(r"([\d.]+) A", parts or total)]
            total = re.findall(r"([\d.]+) A$", total)[0]
            assert sum(each) == pytest.approx(float(total), abs=0.01 * len(each) + 0.01)
            assert finding.measured is not None and 0 <= float(total) - finding.measured < 0.01
