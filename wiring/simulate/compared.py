"""Two plans of one hoist compared: circuits part by part, states one by one, verdicts rule by rule."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.compare import changes
from wiring.files.quantity import show
from wiring.model.behaviour import Difference, Event
from wiring.model.circuit import Circuit, Part
from wiring.model.compared import Compared
from wiring.model.job import Record
from wiring.model.plan import Plan
from wiring.simulate.network import Network
from wiring.simulate.states import FULL, space_of

#: Tests of the hoist before the work begin with this word.
AS_FOUND = "as-found"


def compared(old: Plan, new: Plan, parts: tuple[str, ...]) -> Compared:
    """Old against new. parts: which of circuit, ratings, settings, catalog changed."""
    void = old.digest != new.digest
    approvals = tuple(a.by for a in new.job.approvals if a.digest != new.digest)
    records = tuple(dict.fromkeys(r.test for r in taken(new) if r.digest != new.digest))
    if void:  # what was signed or measured for the old plan does not hold for the new one
        approvals = tuple(dict.fromkeys((*approvals, *(a.by for a in old.job.approvals))))
        records = tuple(dict.fromkeys((*records, *(r.test for r in taken(old)))))
    base = Compared(
        old, new, old.after is not None and new.after is not None,
        verdicts=verdicts(old, new), parts=parts if void else (), approvals=approvals, records=records,
    )  # fmt: skip
    if old.after is None or new.after is None:
        return base
    change = changes(old.after, new.after)
    was, now = named(old.after), named(new.after)
    return Compared(
        old, new, True,
        removed=change.removed,
        added=change.added,
        moved=tuple((n, " - ".join(was[n].pins), " - ".join(now[n].pins)) for n in change.moved),
        set=tuple(row for n in change.set for row in values(was[n], now[n])),
        verdicts=base.verdicts,
        motions=motions(Network(old.after), Network(new.after)),
        events=events(old, new),
        parts=base.parts,
        approvals=approvals,
        records=records,
    )  # fmt: skip


def taken(plan: Plan) -> tuple[Record, ...]:
    """Commissioning records; those of the hoist as found hold whatever is planned."""
    return tuple(r for r in plan.job.records if not r.test.startswith(AS_FOUND))


def named(circuit: Circuit) -> dict[str, Part]:
    return {part.name: part for part in circuit.parts}


def values(was: Part, now: Part) -> Iterator[tuple[str, str, str]]:
    """Values of a part that differ: id, old figure, new figure."""
    for key in dict.fromkeys((*was.values, *now.values)):
        one, two = was.values.get(key), now.values.get(key)
        if (one.si if one else None) != (two.si if two else None):
            yield (
                f"{now.name}.{key}",
                show(one.si, one.unit) if one else "not known",
                show(two.si, two.unit) if two else "not known",
            )


def verdicts(old: Plan, new: Plan) -> tuple[tuple[str, str, str, str], ...]:
    """Rule and subject with another verdict than before, the new plan's order first."""
    was = {(f.rule, f.subject, f.about): str(f.verdict) for f in old.report.findings}
    now = {(f.rule, f.subject, f.about): str(f.verdict) for f in new.report.findings}
    return tuple(
        (key[0], key[1], was.get(key, "none"), now.get(key, "none"))
        for key in dict.fromkeys((*now, *was))
        if was.get(key) != now.get(key)
    )


def motions(old: Network, new: Network) -> tuple[Difference, ...]:
    """States of both converted circuits in which something else moves."""
    before, after = space_of(old), space_of(new)
    vectors = after.vectors() if after.count() <= FULL else after.few()
    found = []
    for vector in vectors:
        state = new.state_names(vector)
        if not all(name in old.input_bit for name in state):
            continue
        same = old.state_bits(state)
        if not before.feasible(same):
            continue
        was, now = before.motions(before.at(same)), after.motions(after.at(vector))
        if was != now:
            found.append(
                Difference(*after.names(vector), was, now, "worse" if set(now) - set(was) else "other")
            )
    return tuple(found)


def events(old: Plan, new: Plan) -> tuple[str, ...]:
    """Events of the converted circuits with another verdict than before."""
    was, now = played(old), played(new)
    return tuple(
        f"{event}, {', '.join(pressed) or 'nothing held'}{opened(open_)}"
        f"{f' ({subject})' if subject else ''}: {was.get(key, 'not played')} -> {now.get(key, 'not played')}"
        for key in dict.fromkeys((*now, *was))
        for event, subject, pressed, open_ in [key]
        if was.get(key) != now.get(key) and "fail" in (was.get(key), now.get(key))
    )


def opened(names: tuple[str, ...]) -> str:
    return f", open {', '.join(names)}" if names else ""


def played(plan: Plan) -> dict[tuple[str, str, tuple[str, ...], tuple[str, ...]], str]:
    """Worst verdict of each event on the converted circuit."""
    found: dict[tuple[str, str, tuple[str, ...], tuple[str, ...]], str] = {}
    for event in after_events(plan):
        key = (event.event, event.subject, event.pressed, event.open)
        if found.get(key) != "fail":
            found[key] = event.verdict
    return found


def after_events(plan: Plan) -> tuple[Event, ...]:
    return tuple(e for e in plan.behaviour.events if e.about == "after") if plan.behaviour else ()
