"""Connections: what lands where, what is added, what is taken off, what stops it."""

from __future__ import annotations

from tui.steps.pane import StepPane
from tui.steps.propose import Propose
from tui.widgets.columns import Columns
from tui.widgets.grid import Grid


class ConnectionsPane(StepPane):
    LEAVES = (
        ("Two columns", Columns),
        ("List", lambda: Grid("connection")),
        ("Propose", Propose),
        ("Devices", lambda: Grid("device")),
        ("Taken off", lambda: Grid("remove")),
        ("Stops", lambda: Grid("stop")),
    )
