"""Which pane shows which step; each is loaded when it is first turned to."""

from __future__ import annotations

import importlib

from tui.steps.order import Step
from tui.steps.pane import StepPane


def pane_for(step: Step) -> StepPane:
    """A new pane of a step."""
    module = importlib.import_module(f"tui.steps.{step.id}")
    made = getattr(module, f"{step.name}Pane")(step)
    assert isinstance(made, StepPane)
    return made
