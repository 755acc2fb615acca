"""Readings against a type: a meter's borders, assignments by brute force; contacts wired at both ends."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest

from tests.check.test_rests_on import facts
from wiring.check.case import Case
from wiring.check.rating import receiver_contacts, wired
from wiring.check.readings import Fit, TypeMeter, agrees
from wiring.model.circuit import Circuit, Part
from wiring.model.entry import HoistType
from wiring.model.job import Core, Reading
from wiring.model.value import Amount

CLOSED, OPENED = 1.0, 1e6


@pytest.mark.parametrize(
    ("value", "expected", "fits"),
    [
        (OPENED, "OL", True), (OPENED * 0.999, "OL", False), ("OL", OPENED * 1.001, True),
        ("OL", OPENED, False),
        ("OL", "climbs", True), ("drops", "OL", False), ("climbs", 2e6, False), (CLOSED, CLOSED, True),
        (0.0, CLOSED, True), (CLOSED * 1.001, 0.0, False), (25.0, 10.0, True), (25.1, 10.0, False),
        (4.0, 10.0, True), (3.9, 10.0, False),
    ],
)  # fmt: skip
def test_agreement(value: float | str, expected: float | str, fits: bool) -> None:
    """A reading at the border still fits, and beyond it does not."""
    assert agrees(value, expected, CLOSED, OPENED) is fits


def fit_of(seed: int) -> tuple[Fit, HoistType]:
    """The malt hoist with its cores in any order and readings of some pairs at random, at rest."""
    rng = random.Random(seed)
    given = facts("malt")
    hoist = given.catalog.hoists[given.job.hoist.type or ""]
    meter = TypeMeter(hoist)
    cores = tuple(Core(str(i)) for i in range(len(hoist.cores)))
    at = dict(zip((c.id for c in cores), rng.sample(meter.roles, len(cores)), strict=True))
    readings = []
    for a, b in rng.sample(list(itertools.combinations(at, 2)), rng.randint(1, 6)):
        shown = meter.expects(f"core:{at[a]}", f"core:{at[b]}", frozenset(), "hoist")
        assert shown is not None
        value = shown if isinstance(shown, str) else Amount(shown, "resistance", f"{shown} ohm")
        readings.append(Reading((a, b), "hoist", "rest", "ohms", value))
    job = replace(given.job, cores=cores, readings=tuple(readings))
    return Fit(Case(replace(given, job=job, cache={}), 1), meter), hoist


@pytest.mark.parametrize("seed", range(30))
def test_solutions_are_those_of_brute_force(seed: int) -> None:
    """The search finds exactly the ways to give roles that contradict no reading."""
    fit, hoist = fit_of(seed)
    roles = [c.role for c in hoist.cores]
    every = (dict(zip(fit.cores, order, strict=True)) for order in itertools.permutations(roles))
    wanted = [solution for solution in every if fit.contradicts(solution) is None]
    found = fit.solutions()
    assert len(found) <= 300
    kept = {tuple(sorted(s.items())) for s in found}
    assert len(kept) == len(found) and kept <= {tuple(sorted(s.items())) for s in wanted}
    assert fit.complete == (len(wanted) < 300)
    if fit.complete:
        assert len(kept) == len(wanted)
    assert wanted


def test_a_contact_with_one_end_free_is_not_wired() -> None:
    """A contact counts as wired with something on both ends, not with one."""
    contact = Part("contact", "contact", ("receiver:COM", "receiver:NO"), "receiver", form="NO")
    feed = Part("w1", "wire", ("hoist:L", "receiver:COM"), "hoist")
    out = Part("w2", "wire", ("receiver:NO", "hoist:A1"), "hoist")
    for parts, joined in (((contact, feed, out), True), ((contact, feed), False), ((contact, out), False)):
        assert wired(Circuit("after", (), parts, ()), contact) is joined


def test_only_wired_contacts_are_judged() -> None:
    """Every receiver contact that is looked at has a wire on each end."""
    given = facts("malt")
    assert given.after is not None
    found = [part for _, part, _ in receiver_contacts(Case(given, 1))]
    assert found and all(wired(given.after, part) for part in found)
