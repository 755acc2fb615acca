"""Which output takes over which contact: search over assignments that put no bar on two nets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from wiring.planner.channels import Pole
from wiring.planner.demand import Contact

#: Assignments tried before the search gives up; receivers have few outputs.
LIMIT = 20000


@dataclass(frozen=True, slots=True)
class Assignment:
    """nets: bar of the receiver to the net it is on; chosen: contact by contact the pole that does it;
    keys: output to the button whose key it follows."""

    nets: Mapping[str, str]
    chosen: tuple[tuple[Contact, Pole], ...]
    keys: Mapping[str, str]


@dataclass
class Search:
    """One search. poles: what the receiver offers; presets: output to the key it has from the factory."""

    wants: Sequence[Contact]
    poles: Sequence[Pole]
    presets: Mapping[str, str]
    preferred: Mapping[str, str] = field(default_factory=dict)  # output to the key the job gives it
    steps: int = 0

    def run(self, nets: Mapping[str, str]) -> Iterator[Assignment]:
        """Every assignment that continues from bars that already have a net."""
        yield from self._next(0, dict(nets), (), {})

    def _next(
        self, i: int, nets: dict[str, str], chosen: tuple[tuple[Contact, Pole], ...], keys: dict[str, str]
    ) -> Iterator[Assignment]:
        if i == len(self.wants):
            yield Assignment(dict(nets), chosen, dict(keys))
            return
        want = self.wants[i]
        used = {id(pole) for _, pole in chosen}
        for pole in sorted(self.poles, key=lambda p: -self._liking(want, p, nets)):
            self.steps += 1
            if self.steps > LIMIT:
                return
            if id(pole) in used or pole.form != want.form or not self._key_free(pole, want.button, keys):
                continue
            for a, b in ((pole.a, pole.b), (pole.b, pole.a)):
                if nets.get(a, want.a) != want.a or nets.get(b, want.b) != want.b:
                    continue
                further = {**keys, **dict.fromkeys(pole.outputs, want.button)}
                yield from self._next(i + 1, {**nets, a: want.a, b: want.b}, (*chosen, (want, pole)), further)

    def _key_free(self, pole: Pole, button: str, keys: Mapping[str, str]) -> bool:
        """An output follows one key; one with a key from the factory follows that and no other.
        The stop key works the receiver's stop outputs only: a motion output rests open and may weld
        with nobody the wiser."""
        for output in pole.outputs:
            preset = self.presets.get(output, "")
            if preset != button and (preset or button == "stop"):
                return False
            if keys.get(output, button) != button:
                return False
        return True

    def _liking(self, want: Contact, pole: Pole, nets: Mapping[str, str]) -> float:
        """How well a pole suits: the key the job gave it, its name, a common that is there already."""
        output = pole.outputs[0]
        liking = 4.0 if self.preferred.get(output) == want.button else 0.0
        liking -= 2.0 if self.preferred.get(output, want.button) != want.button else 0.0
        liking += 2.0 * named_for(output, want.button)
        liking += sum(0.5 for bar in (pole.a, pole.b) if nets.get(bar) in (want.a, want.b))
        return liking


def named_for(output: str, button: str) -> float:
    """1 where an output's name says the button, with its step; 0 where it says nothing; -1 another."""
    first, _, step = button.partition(".")
    words = output.replace("_", " ").replace("-", " ").lower().split()
    directions = {"up", "down", "left", "right", "forward", "back", "in", "out"}
    said = [word for word in words if word in directions]
    if not said:
        return 0.0
    return 1.0 if first in said and ("fast" in words) == (step == "2") else -1.0
