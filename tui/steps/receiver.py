"""Receiver: what replaces the pendant, how each output is set and rated, what the bench test showed."""

from __future__ import annotations

from tui.steps.benchtest import BenchTest
from tui.steps.fit import WhichFits
from tui.steps.pane import StepPane
from tui.widgets.grid import Grid
from tui.widgets.ledger import Ledger
from tui.widgets.types import Types


class ReceiverPane(StepPane):
    LEAVES = (
        ("Outputs", lambda: Grid("receiver.output")),
        ("Facts", lambda: Ledger("receiver")),
        ("Recognise", lambda: Types("receiver")),
        ("Jumpers", lambda: Grid("receiver.jumper")),
        ("Transmitters", lambda: Grid("transmitter")),
        ("Bench test", BenchTest),
        ("Results", lambda: Grid("bench")),
        ("Fit", WhichFits),
    )
