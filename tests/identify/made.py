"""A person with a meter: answers a session's questions about a known cord."""

from __future__ import annotations

import datetime

from wiring.files import load_catalog
from wiring.identify import Session, Wanted
from wiring.identify.meter import Answer, model
from wiring.identify.probe import Probe, Taken
from wiring.model.job import Core, Gate
from wiring.model.value import Amount

CATALOG = load_catalog()
AT = datetime.datetime(2026, 11, 25, 9, 10)
GATE = Gate("plug, in my hand", True, True, True, True, True, Amount(2.0, "voltage", "2 V"), True, AT)


def session(type_id: str, cores: int, **more: object) -> Session:
    """A session about a cord of so many cores whose handset and supply are those of the type."""
    m = model(CATALOG.hoists[type_id])
    listed = tuple(Core(str(i + 1)) for i in range(cores))
    facts: dict[str, object] = {"buttons": m.buttons, "system": m.hoist.supply_system, **more}
    return Session.start(CATALOG, listed, GATE, **facts)  # type: ignore[arg-type]


def truth(type_id: str, at: dict[str, str], probe: Probe) -> Answer:
    """What the type's own figures give for a probe. at: role to core."""
    roles = {core: role for role, core in at.items()}
    ends = [frozenset(roles.get(name, name) for name in group) for group in (probe.a, probe.b)]
    expect = model(CATALOG.hoists[type_id]).sheet(probe.side, probe.state).expect(ends[0], ends[1])
    if expect.high < expect.low:
        return Answer(word="climbs" if expect.moves else "OL")
    return Answer(word="OL") if expect.open else Answer(ohms=(expect.low * expect.high) ** 0.5)


def asked(
    made: Session, type_id: str, at: dict[str, str], wrong: dict[int, Answer] | None = None, most: int = 80
) -> tuple[Session, list[Wanted]]:
    """The session answered to its end. wrong: number of a question to the wrong answer given to it."""
    log: list[Wanted] = []
    while len(log) < most:
        wanted = made.wanted()
        if wanted is None or wanted.probe is None:
            break
        answer = (wrong or {}).get(len(log)) or truth(type_id, at, wanted.probe)
        log.append(wanted)
        made = made.take(Taken(wanted.probe, answer, AT))
    return made, log


def found(made: Session) -> dict[str, str]:
    """Role to core, where the session names one."""
    return {role.role: role.core for role in made.roles() if role.role and role.role != "spare"}
