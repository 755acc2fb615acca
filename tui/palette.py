"""Every action as a command: steps, keys that are active, and what has no key of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.command import DiscoveryHit, Hit, Hits, Provider

from tui.steps.order import STEPS

if TYPE_CHECKING:
    from tui.screens.desk import Desk

Command = tuple[str, str, Callable[[], Any]]


class Commands(Provider):
    """Commands of the desk."""

    def commands(self) -> Iterator[Command]:
        """(name, what it does, how) of everything that can be done here."""
        desk: Desk = self.screen  # type: ignore[assignment]
        for step in STEPS:
            yield f"{step.name}", f"go to the step: {step.about}", partial(desk.action_step, step.name)
        seen = set()
        for active in self.screen.active_bindings.values():
            binding = active.binding
            name = binding.description
            if not name or name in seen or binding.action.startswith(("step(", "command_palette")):
                continue
            seen.add(name)
            run = partial(self.app.run_action, binding.action, default_namespace=active.node)
            yield name, f"key {self.app.get_key_display(binding)}", run
        for name, about, action in desk.EXTRA:
            yield name, about, partial(desk.run_action, action)

    async def discover(self) -> Hits:
        for name, about, run in self.commands():
            yield DiscoveryHit(name, run, help=about)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for name, about, run in self.commands():
            score = matcher.match(name)
            if score > 0:
                yield Hit(score, matcher.highlight(name), run, help=about)
