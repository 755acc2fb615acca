"""Whole drawings kept as files: a change of any line or word is seen in review."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest_snapshot.plugin import Snapshot

from tests.draw.made import CATALOG, converted_job
from tests.draw.test_sheets import plan_of
from wiring.circuit import build_type
from wiring.draw import circuit_drawing, drawing, svg, text

GOLDEN = Path(__file__).resolve().parent.parent / "golden" / "draw"
TYPES = ("reversing-contactors-24", "capacitor-motor-direct-120", "winch-permanent-magnet-12")


@pytest.mark.parametrize("hoist", TYPES)
def test_the_text_ladder_is_as_kept(hoist: str, snapshot: Snapshot) -> None:
    """The ladder of a type reads as it did."""
    snapshot.snapshot_dir = GOLDEN
    snapshot.assert_match(text(circuit_drawing(build_type(CATALOG.hoists[hoist])), 80), f"{hoist}.txt")


@pytest.mark.parametrize("style", ["iec", "us"])
def test_the_circuit_sheet_is_as_kept(style: str, snapshot: Snapshot) -> None:
    """The 24 V contactor hoist is drawn line for line as it was, in both symbol sets."""
    snapshot.snapshot_dir = GOLDEN
    made = circuit_drawing(build_type(CATALOG.hoists["reversing-contactors-24"]), style, "24 V hoist")
    snapshot.assert_match(svg(made), f"reversing-contactors-24.{style}.svg")


def test_the_connection_diagram_is_as_kept(snapshot: Snapshot) -> None:
    """The connection diagram of a made conversion is drawn as it was."""
    snapshot.snapshot_dir = GOLDEN
    job = converted_job("capacitor-motor-direct-120", "two-channel-dry", "tail-kept")
    snapshot.assert_match(svg(drawing(plan_of(job), "connections", "us")), "made.connections.svg")
