"""What a conversion changed."""

from __future__ import annotations

from dataclasses import replace

from tests.circuit.jobs import GANTRY, MALT
from wiring.circuit import build_after, build_before, changes
from wiring.model.entry import Catalog
from wiring.model.job import Connection, Remove


def test_nothing_changed(catalog: Catalog) -> None:
    """A circuit compared with itself shows no change."""
    before = build_before(GANTRY, catalog)
    found = changes(before, before)
    assert found == type(found)((), (), (), (), (), ())


def test_removed_and_added(catalog: Catalog) -> None:
    """What went, what came and what a removed wire parted is named."""
    found = changes(build_before(GANTRY, catalog), build_after(GANTRY, catalog))
    assert {"hoist:W7", "core:1", "pendant:ES"} <= set(found.removed)
    assert {"K0", "receiver:STOP1", "W1:1"} <= set(found.added)
    assert ("hoist:F1.1", "hoist:K1.1") in found.parted
    assert found.joined == ()


def test_kept_tail_moves(catalog: Catalog) -> None:
    """A core whose tail is kept is the same part on another point."""
    found = changes(build_before(MALT, catalog), build_after(MALT, catalog))
    assert "core:2" in found.moved and "core:2" in found.set


def test_two_returns_on_one_terminal(catalog: Catalog) -> None:
    """Two cores that land on one terminal are joined for good, named by the terminals where they sit."""
    rows = (Connection("core:3", "receiver:NO2"), Connection("core:4", "receiver:NO2"))
    found = changes(build_before(MALT, catalog), build_after(replace(MALT, connections=rows), catalog))
    assert found.joined == (("hoist:X1.3", "hoist:X1.4"),)


def test_bypassed_limit_is_joined(catalog: Catalog) -> None:
    """A wire across a limit joins what the limit kept apart when open."""
    rows = (*GANTRY.connections, Connection("hoist:LSU.21", "hoist:LSU.22"))
    job = replace(GANTRY, connections=rows, removes=(Remove("hoist:W31"),))
    found = changes(build_before(GANTRY, catalog), build_after(job, catalog))
    assert ("hoist:K2.21", "hoist:X1.2") in found.joined
