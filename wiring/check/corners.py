"""The proof at the corners of its placeholder values: simulate again, ask the same rules again.

Coils as a class and motor windings as a class, each with every weak value at
its low and at its high end. A class whose values cannot decide anything is
left out, so a circuit without partial voltages costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from wiring.check.case import Facts, moved_circuit
from wiring.check.states import Settler
from wiring.model.behaviour import Behaviour, Settled
from wiring.model.circuit import Circuit, Part
from wiring.model.finding import Verdict
from wiring.model.value import Value

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wiring.check.rests import Key, Outcome
    from wiring.check.rule import Rule

Resimulate = Callable[[Circuit, Circuit], Behaviour]

_COIL = ("coil", "supply-input", "load", "drive-input", "suppressor", "semiconductor")
_WINDING = ("winding", "motor3", "capacitor", "brake")
#: Properties that reach a settled state; ratings and times do not.
_ELECTRICAL = frozenset({
    "resistance", "reactance", "inrush", "inrush_pf", "sealed", "sealed_pf", "run_r", "run_x", "locked_r",
    "locked_x", "capacitance", "leakage", "power",
})  # fmt: skip
#: Motors whose direction comes from an impedance, so that a placeholder can turn them.
_PHASED = ("capacitor", "main-auxiliary", "series")
_MOST_PARTS = 12
#: States with more inputs operated are settled when a rule asks for one.
_FEW = 2


class Corners:
    """Lazily simulated corner sets of one job, shared by all rules."""

    def __init__(self, facts: Facts, resimulate: Resimulate | None) -> None:
        self._facts = facts
        self._resimulate = resimulate
        self._sets: list[tuple[dict[str, float], Facts]] | None = None
        self._narrow: dict[tuple[str, ...], Facts] = {}
        self.values: dict[str, Value] = {}

    def resting(self, rule: Rule, outcomes: Sequence[Outcome]) -> dict[Key, set[str]]:
        """Ids of circuit values each subject's verdict rests on."""
        from wiring.check.runner import answer  # the runner owns how a rule is asked

        rests: dict[Key, set[str]] = {}
        nominal = {
            o.key: o.draft.verdict for o in outcomes if o.draft.verdict in (Verdict.PASS, Verdict.FAIL)
        }
        for moved, facts in self.sets():
            at = {o.key: o.draft.verdict for o in answer(rule, facts)}
            changed = {k for k, v in nominal.items() if at.get(k, v) is not v}
            for key in changed:
                rests.setdefault(key, set()).update(self._blame(rule, key, nominal[key], moved))
        return rests

    def sets(self) -> list[tuple[dict[str, float], Facts]]:
        """The corner sets with the facts at each, simulated once."""
        if self._sets is None:
            tried = [(m, self._at(m)) for m in self._moves()]
            self._sets = [(m, facts) for m, facts in tried if works(facts)]
        return self._sets

    def _moves(self) -> Iterable[dict[str, float]]:
        facts = self._facts
        if facts.before is None or facts.after is None or facts.behaviour is None:
            return
        both = (facts.before, facts.after)
        settled = (*facts.behaviour.settled_before, *facts.behaviour.settled_after)
        classes: list[tuple[str, ...]] = []
        if any(partial(c, s) for c, s in ((facts.before, facts.behaviour.settled_before),
                                          (facts.after, facts.behaviour.settled_after))):  # fmt: skip
            classes.append(_COIL)
        if settled and any(m.kind in _PHASED for c in both for m in c.motors):
            classes.append(_WINDING)
        for kinds in classes:
            weak = {v.id: v for c in both for p in c.parts if p.kind in kinds for v in _weak(p)}
            self.values.update(weak)
            for end in ("low", "high"):
                if weak:
                    yield {i: getattr(v, end) for i, v in weak.items()}

    def _at(self, moved: Mapping[str, float]) -> Facts:
        facts = self._facts
        before, after = moved_circuit(facts.before, moved), moved_circuit(facts.after, moved)
        # _moves yields nothing where one of them is missing
        assert before is not None and after is not None and facts.behaviour is not None
        if self._resimulate is not None:
            shown = self._resimulate(before, after)
        else:
            shown = resettled(before, after, facts.behaviour)
        # faults are judged as they were run (`facts.faults`); the corner is of the states
        shown = replace(shown, faults=facts.behaviour.faults)
        return replace(facts, before=before, after=after, behaviour=shown, cache={})

    def _blame(self, rule: Rule, key: Key, was: Verdict, moved: Mapping[str, float]) -> set[str]:
        """The parts whose values alone change the verdict; all of the corner where none does."""
        from wiring.check.runner import answer

        owners: dict[str, dict[str, float]] = {}
        for i, si in moved.items():
            owners.setdefault(i.rpartition(".")[0], {})[i] = si
        if len(owners) > _MOST_PARTS:
            return set(moved)
        found: set[str] = set()
        for ends in owners.values():
            name = tuple(f"{i}={si:g}" for i, si in ends.items())
            if name not in self._narrow:
                self._narrow[name] = self._at(ends)
            if any(o.key == key and o.draft.verdict is not was for o in answer(rule, self._narrow[name])):
                found.update(ends)
        return found or set(moved)


def works(facts: Facts) -> bool:
    """True where the hoist as found still makes its motions.

    It did when it was looked at, so a corner at which it would not is no corner
    of this hoist.
    """
    if facts.before is None or facts.behaviour is None:
        return False
    alone = {s.state: s for s in facts.behaviour.settled_before}
    for command, motions in facts.before.expected.items():
        implied = next((i.implies for i in facts.before.inputs if i.name == command), "")
        settled = alone.get(frozenset(filter(None, (command, implied))))
        if settled is not None and not set(motions) <= set(settled.motions):
            return False
    return True


def partial(circuit: Circuit, states: Iterable[Settled]) -> bool:
    """True where some coil or input stands at a voltage that is neither nothing nor nearly all."""
    rated = {
        p.name: p.values["voltage"].si for p in circuit.parts if p.kind == "coil" and "voltage" in p.values
    }
    return any(
        0.02 < abs(state.volts.get(name, 0)) / volts < 0.9
        for state in states
        for name, volts in rated.items()
        if volts
    )


def _weak(part: Part) -> list[Value]:
    return [v for prop, v in part.values.items() if prop in _ELECTRICAL and v.weak]


def resettled(before: Circuit, after: Circuit, nominal: Behaviour) -> Behaviour:
    """The behaviour with its settled states settled again; events and sneak paths as they were.

    Cheap enough for every check. A caller that wants the events at the corners too
    hands in a full simulation.
    """
    settled = {}
    for about, circuit, states in (
        ("before", before, nominal.settled_before),
        ("after", after, nominal.settled_after),
    ):
        settler = Settler(circuit)
        settled[about] = tuple(settler.at(s.state) for s in states if len(s.state) <= _FEW)
    return replace(nominal, settled_before=settled["before"], settled_after=settled["after"])
