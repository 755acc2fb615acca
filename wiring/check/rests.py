"""Which weak values a verdict rests on, and what that does to it.

Recalled limit (memory): a pass becomes unknown until confirmed, a fail stays,
marked. Placeholder: pass and fail both become unknown, naming the key to state.
Common practice: stands, worded as such and listed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from wiring.check.corners import Corners
from wiring.check.draft import Draft
from wiring.check.rule import Rule
from wiring.model.finding import Verdict
from wiring.model.value import Value

Key = tuple[str, str]
Try = Callable[[Mapping[str, float]], list[Draft]]

_JUDGED = (Verdict.PASS, Verdict.FAIL)


@dataclass(frozen=True, slots=True)
class Outcome:
    """A draft with the values behind it and, once tried, those it rests on."""

    draft: Draft
    values: tuple[Value, ...]
    rests_on: tuple[str, ...] = ()
    basis: str = ""

    @property
    def key(self) -> Key:
        return (self.draft.subject, self.draft.about)


def settle_weak(rule: Rule, outcomes: Sequence[Outcome], attempt: Try, corners: Corners) -> list[Outcome]:
    """Outcomes after every weak value was tried at the ends of its spread.

    attempt: the rule again with some values moved. corners: the same for values
    that reach the rule through the simulation.
    """
    weak = {v.id: v for o in outcomes for v in o.values if v.weak}
    judged = any(o.draft.verdict in _JUDGED for o in outcomes)
    rests: dict[Key, set[str]] = {}
    if judged and weak:
        rests = resting(outcomes, weak, attempt)
    if judged and rule.wants in ("behaviour", "faults"):
        for key, ids in corners.resting(rule, outcomes).items():
            rests.setdefault(key, set()).update(ids)
    known = {**weak, **corners.values}
    return [_marked(o, sorted(rests.get(o.key, ())), known) for o in outcomes]


def resting(outcomes: Sequence[Outcome], weak: Mapping[str, Value], attempt: Try) -> dict[Key, set[str]]:
    """Ids of the weak values each subject's verdict rests on.

    One at a time first; where no single one does it, all together at the ends
    that shrink the margin, and the ones that moved it are named.
    """
    nominal = {o.key: o.draft for o in outcomes}
    rests: dict[Key, set[str]] = {}
    worse: dict[Key, dict[str, float]] = {}
    better: dict[Key, dict[str, float]] = {}
    for value in weak.values():
        for end in {value.low, value.high} - {value.si}:
            for draft in attempt({value.id: end}):
                key = (draft.subject, draft.about)
                was = nominal.get(key)
                if was is None or was.verdict not in _JUDGED:
                    continue
                if draft.verdict is not was.verdict:
                    rests.setdefault(key, set()).add(value.id)
                elif draft.margin is not None and was.margin is not None and draft.margin != was.margin:
                    ends = worse if draft.margin < was.margin else better
                    ends.setdefault(key, {})[value.id] = end
    for key, was in nominal.items():
        if key in rests or was.verdict not in _JUDGED:
            continue
        together = (worse if was.verdict is Verdict.PASS else better).get(key, {})
        if len(together) > 1 and _verdict_at(attempt(together), key) not in (None, was.verdict):
            rests[key] = set(together)
    return rests


def _verdict_at(drafts: Iterable[Draft], key: Key) -> Verdict | None:
    return next((d.verdict for d in drafts if (d.subject, d.about) == key), None)


def _marked(outcome: Outcome, ids: Sequence[str], known: Mapping[str, Value]) -> Outcome:
    """The outcome after the rules for weak values."""
    draft = outcome.draft
    practice = [v.id for v in outcome.values if v.basis == "practice"]
    basis = "practice" if practice else ""
    if draft.verdict not in _JUDGED or not ids:
        return replace(outcome, rests_on=tuple(practice), basis=basis)
    placeholders = [i for i in ids if known[i].basis == "placeholder"]
    recalled = [i for i in ids if known[i].basis == "memory"]
    rests = (*ids, *practice)
    if placeholders:
        keys = ", ".join(placeholders)
        word = "no objection" if draft.verdict is Verdict.PASS else "an objection"
        found = f"{draft.found}; {word} only with the placeholder {keys}"
        states = tuple(_how_to_state(i) for i in placeholders)
        changed = replace(draft, verdict=Verdict.UNKNOWN, found=found, remedies=states + draft.remedies)
        return replace(outcome, draft=changed, rests_on=rests, basis="placeholder")
    if draft.verdict is Verdict.PASS:
        found = f"{draft.found}; no objection only with the recalled {', '.join(recalled)}"
        confirms = tuple(f'read it in the source and add [[confirm]] entry = "{i}"' for i in recalled)
        changed = replace(draft, verdict=Verdict.UNKNOWN, found=found, remedies=confirms + draft.remedies)
        return replace(outcome, draft=changed, rests_on=rests, basis="memory")
    found = f"{draft.found}; the limit is recalled ({', '.join(recalled)}), not read"
    return replace(outcome, draft=replace(draft, found=found), rests_on=rests, basis="memory")


def _how_to_state(id: str) -> str:
    """What to write into the job so that a placeholder is replaced."""
    owner, dot, prop = id.partition(".rating.")
    if dot:
        return f"state rating = {{ {prop} = ... }} of {owner}, from its data sheet"
    return f'state [[value]] of = "{id}", from the plate, the data sheet or a reading'
