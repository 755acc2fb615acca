"""Events of the simulation as rules ask for them: by name, one verdict per subject."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.states import moving, words
from wiring.model.behaviour import Event

_RANK = {"fail": 0, "unknown": 1, "pass": 2}


def events(case: Case, names: Iterable[str], about: str = "after") -> Iterator[Event]:
    """Events of these names; a name that ends in `*` stands for all that begin so."""
    exact = {n for n in names if not n.endswith("*")}
    starts = tuple(n[:-1] for n in names if n.endswith("*"))
    return (
        e for e in case.behaviour.events
        if e.about == about and (e.event in exact or (starts and e.event.startswith(starts)))
    )  # fmt: skip


def judged(case: Case, names: Iterable[str], wanted: str, *remedies: str, key: str = "") -> Iterator[Draft]:
    """One finding per kind of event: the worst of all states it was tried in."""
    by_name: dict[str, list[Event]] = {}
    for event in events(case, names):
        by_name.setdefault(event.event, []).append(event)
    for name, found in by_name.items():
        worst = min(found, key=lambda e: (_RANK.get(e.verdict, 1), len(e.pressed) + len(e.open)))
        told = tell(worst)
        if worst.verdict == "fail":
            yield failed(name, told, wanted, *remedies, key=key)
        elif worst.verdict == "unknown":
            yield unknown(name, told, wanted, *remedies, key=key)
        else:
            yield passed(name, f"nothing in {len(found)} states goes against it", wanted)


def tell(event: Event) -> str:
    """An event in one sentence."""
    state = words((*event.pressed, *event.open))
    subject = f" ({event.subject})" if event.subject else ""
    why = f"; {event.why}" if event.why else ""
    return f"{state}, {event.event}{subject}: {moving(event.motions)}{why}"
