"""The circuit put together quickly for a search, and the nets it is searched by."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

from tests.planner.made import CATALOG, job_of
from tests.simulate.circuits import contactor_hoist, part, receiver_hoist
from wiring.circuit import build_after
from wiring.model.circuit import Circuit
from wiring.model.job import Cable, Connection, Job
from wiring.planner.rewire import Quick, wired
from wiring.planner.trial import Trial

JOB = job_of("reversing-contactors-24", "six-channel-stop-pair")
EXPECTED = MappingProxyType({"button:up": ("hoist up",), "button:down": ("hoist down",)})


def rows(*ends: tuple[str, str], **more: Any) -> Job:
    return replace(JOB, connections=tuple(Connection(a, b) for a, b in ends), **more)


def test_a_conductor_landed_at_one_end_is_built_in_full() -> None:
    """A row on the loose end of a conductor, among others, has points that only the whole build knows."""
    cables = (Cable("W1", order=("1", "3")),)
    job = rows(("core:2", "receiver:9"), ("W1:3.from", "receiver:10"), cables=cables)
    assert Quick(job, CATALOG).after(job) == build_after(job, CATALOG)
    plain = Quick(JOB, CATALOG).after(rows(("core:2", "receiver:9")))
    assert [p.name for p in plain.parts if p.name.startswith("wire:row")] == ["wire:row-0"]


def test_only_pins_of_what_is_added_and_freed_screws_are_loose() -> None:
    """Screws of the hoist that keep their wires are no place where something is missing."""
    job = rows(("core:2", "receiver:9"))
    loose = wired(job, build_after(job, CATALOG)).loose
    assert loose and all(pin.startswith("receiver:") for pin in loose)


# -- limits and fuses under a key ------------------------------------------------------------------


def look(after: Circuit) -> tuple[str, ...]:
    return Trial(contactor_hoist(expected=EXPECTED)).look(after).wrong


def test_a_limit_of_its_own_may_stop_more_and_move_nothing() -> None:
    """A limit that the hoist as found did not have may open one motion and leave the other; what it
    starts is told."""
    made = receiver_hoist()
    inputs = (*made.inputs, replace(made.inputs[2], name="limit:own"))
    own = part("LSX", "contact", "C2 CX", "limit:own", "NC")
    up = part("receiver:UP", "contact", "CX UPH", "output:receiver:UP")
    parts = (*(p for p in made.parts if p.name != "receiver:UP"), own, up)
    assert look(replace(made, inputs=inputs, parts=parts)) == ()
    turns = part("LSX", "contact", "C2 DNH", "limit:own", "NO")
    lines = look(replace(made, inputs=inputs, parts=(*made.parts, turns)))
    assert any("key:up held, limit:own open: " in line for line in lines)
