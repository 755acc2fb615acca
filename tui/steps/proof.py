"""Proof: the bench, and everything the simulation showed as tables."""

from __future__ import annotations

from tui.messages import OnBench
from tui.steps.bench import BenchLeaf
from tui.steps.pane import StepPane
from tui.steps.prooftables import ProofTable


class ProofPane(StepPane):
    LEAVES = (
        ("Bench", BenchLeaf),
        ("Truth table", lambda: ProofTable("truth")),
        ("Differences", lambda: ProofTable("difference")),
        ("Events", lambda: ProofTable("events")),
        ("Faults", lambda: ProofTable("faults")),
        ("Stop matrix", lambda: ProofTable("stops")),
    )

    async def put(self, wanted: OnBench) -> None:
        """Turn to the bench and play a state there."""
        await self.turn(0)
        self.query_one(BenchLeaf).put(wanted)
