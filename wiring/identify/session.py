"""The guided meter session: a value that says what to read next and what the readings leave.

`Session.start(...)`, then `wanted()`, `answer(...)`, again. Dead readings only,
until nothing dead is left to ask and the gate names a qualified person.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property

from wiring.files import Edit
from wiring.identify import direction, live
from wiring.identify.ask import Next, next_reading
from wiring.identify.choose import Choice, states
from wiring.identify.confirm import standing
from wiring.identify.cover import covering
from wiring.identify.found import (
    Contradiction,
    RoleFound,
    Symmetry,
    TypeFound,
    contradiction_of,
    roles_found,
    symmetries_found,
    types_found,
)
from wiring.identify.gate import STEPS, missing
from wiring.identify.meter import Answer, Model, frame_names, model, stop_names
from wiring.identify.probe import Probe, Taken, group_words, state_text, taken_of
from wiring.identify.rebuild import after
from wiring.identify.reply import parse_reply
from wiring.identify.space import Space
from wiring.identify.words import how, reason
from wiring.identify.write import edits_of
from wiring.model.behaviour import State
from wiring.model.entry import Catalog
from wiring.model.job import Core, Gate, Job, Meter, Reading
from wiring.model.value import Amount

#: The session gives up asking after this many readings for each core.
PATIENCE = 16
#: An answer that more than about one reading in so many contradicts is not called certain.
FEW = 4


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to do next. kind: "gate" (missing says what) or "reading"; purpose: identify |
    confirm | cover | direction | live; probe: the reading to take."""

    kind: str
    why: str
    missing: tuple[str, ...] = ()
    probe: Probe | None = None
    purpose: str = ""
    bits: float = 0.0
    answers: int = 2
    effort: float = 1.0

    @property
    def between(self) -> tuple[str, str]:
        """The two ends, tied cores joined by a plus."""
        return (group_words(self.probe.a), group_words(self.probe.b)) if self.probe else ("", "")

    @property
    def how(self) -> str:
        """What to do, in one line; for the gate the steps that are open."""
        return how(self.probe) if self.probe else "; ".join(STEPS[key] for key in self.missing)

    @property
    def state(self) -> str:
        """What is held or opened meanwhile."""
        return state_text(self.probe.state) if self.probe else ""


@dataclass(frozen=True)
class Session:
    """cores: of the cord; buttons: what the handset has, None where nobody looked; ties: tied
    groups may be asked for; asides: readings with a limit opened by hand, which tell directions."""

    catalog: Catalog
    cores: tuple[Core, ...]
    space: Space
    gate: Gate | None = None
    meter: Meter = field(default_factory=Meter)
    buttons: frozenset[str] | None = None
    ties: bool = True
    asides: tuple[Taken, ...] = ()
    skipped: frozenset[Probe] = frozenset()
    fresh: tuple[Taken, ...] = ()  # readings taken since the start, in order

    @staticmethod
    def start(
        catalog: Catalog,
        cores: Iterable[Core],
        gate: Gate | None,
        meter: Meter | None = None,
        readings: Iterable[Reading] = (),
        *,
        job: Job | None = None,
        buttons: frozenset[str] | None = None,
        system: str | None = None,
        ties: bool = True,
    ) -> Session:
        """A session over every hoist type of the catalog that fits the supply system and the
        buttons, with the readings already taken. buttons: as "up", "up.2", "stop", "start"."""
        listed = tuple(cores)
        named = frozenset(_button(name) for name in buttons) if buttons else None
        models = [model(catalog.hoists[id]) for id in catalog.hoists]
        models = [m for m in models if fits_supply(m, system) and fits_buttons(m, named)]
        space = Space.start(models, tuple(core.id for core in listed))
        session = Session(catalog, listed, space, gate, meter or Meter(), named, ties)
        facts = job or Job("", "", "us", "design", meter=session.meter, cores=listed)
        for reading in readings:
            taken = taken_of(reading, facts, stop_names(models), frame_names(models))
            if taken is not None:
                session = session.take(taken)
        return replace(session, fresh=())

    # -- readings ------------------------------------------------------------------------------
    @property
    def taken(self) -> tuple[Taken, ...]:
        """Every reading, in the order it was taken, those with an opened limit last."""
        return (*self.space.taken, *self.asides)

    def answer(self, reading: Reading) -> Session:
        """The session with one more reading, as the meter shows it."""
        facts = Job("", "", "us", "design", meter=self.meter, cores=self.cores)
        taken = taken_of(reading, facts, stop_names(self.models), frame_names(self.models))
        if taken is None:
            raise ValueError("a reading without its side (handset or hoist) decides nothing")
        return self.take(taken)

    def reply(self, probe: Probe, text: str, at: datetime.datetime | None = None) -> Session:
        """The session after what a person typed for a probe: a number as the meter shows it, OL,
        climbs, drops, skip, no button. Raises ReplyError for anything else."""
        said = parse_reply(text, bool(probe.live))
        if said == "no button" and probe.state:
            return self.without(next(iter(sorted(probe.state, reverse=True))))
        if isinstance(said, str):
            return self.skip(probe)
        lead = self.meter.lead_resistance
        if said.ohms is not None and lead is not None:
            said = Answer(ohms=max(0.0, said.ohms - lead.si))
        return self.take(Taken(probe, said, at))

    def take(self, taken: Taken) -> Session:
        """The session with one more reading, the leads' resistance already off."""
        fresh = (*self.fresh, taken)
        if any(name.startswith("limit:") for name in taken.probe.state) and self.space.taken:
            return replace(self, asides=(*self.asides, taken), fresh=fresh)
        pressed = {name for name in taken.probe.state if not name.startswith("limit:")}
        session = self.with_buttons(pressed) if pressed and self.buttons is None else self
        return replace(session, space=after(session._looked, taken), fresh=fresh)

    def with_buttons(self, pressed: Iterable[str]) -> Session:
        """Buttons that were held exist: a type without them is none of the left ones."""
        wanted = set(pressed)
        left = tuple(block for block in self.space.blocks if wanted <= block.model.buttons)
        return self if not left else replace(self, space=replace(self.space, blocks=left))

    def without(self, button: str) -> Session:
        """The handset has no such button."""
        name = _button(button)
        return self._only(lambda m: name not in m.buttons)

    def seeing(self, buttons: Iterable[str]) -> Session:
        """Somebody looked at the handset: these are its buttons ("up", "up.2", "stop", "start")."""
        named = frozenset(_button(name) for name in buttons)
        return replace(self._only(lambda m: fits_buttons(m, named)), buttons=named)

    def _only(self, keep: Callable[[Model], bool]) -> Session:
        left = tuple(block for block in self.space.blocks if keep(block.model))
        return replace(self, space=replace(self.space, blocks=left))

    def by_pairs(self) -> Session:
        """No cores are tied together."""
        return replace(self, ties=False)

    def with_leads(self, ohms: Amount) -> Session:
        """The meter's leads touched together read this much."""
        return replace(self, meter=replace(self.meter, lead_resistance=ohms))

    def skip(self, probe: Probe) -> Session:
        """That reading cannot be taken."""
        return replace(self, skipped=self.skipped | {probe, probe.turned})

    def isolated(self, gate: Gate) -> Session:
        """The isolation gate was gone through."""
        return replace(self, gate=gate)

    # -- what is left --------------------------------------------------------------------------
    @property
    def models(self) -> tuple[Model, ...]:
        """Types that were not ruled out before the first reading."""
        return tuple(block.model for block in self.space.blocks)

    @property
    def listed(self) -> list[State]:
        """States of the handset that can be asked for."""
        buttons = self.buttons
        if buttons is None:
            buttons = frozenset(name for m in self.models for name in m.buttons)
        return states(self.models, buttons)

    @cached_property
    def left(self) -> int:
        """How many answers fit the readings best, symmetric ones counted once."""
        return len(standing(self.space, 1).answers)

    @cached_property
    def next(self) -> Next:
        """The next dead reading; none where the dead readings are done."""
        return next_reading(self.space, self.listed, self.ties, self.skipped)

    @property
    def _looked(self) -> Space:
        """The space as far as it was worked out to choose a reading: not to be done again."""
        known: Next | None = self.__dict__.get("next")
        return self.space if known is None else known.space

    @property
    def certain(self) -> bool:
        """True where every rival is held off by more than one reading, and at least two were taken."""
        taken = len(self.space.taken)
        return self.next.done and taken >= 2 and self.space.best <= taken // FEW + 1

    def types(self) -> tuple[TypeFound, ...]:
        """The hoist types that are left, likeliest first."""
        return types_found(self.space, self.certain)

    def roles(self) -> tuple[RoleFound, ...]:
        """What each core is, and how sure that is."""
        return roles_found(self.space, self.certain)

    def symmetric(self) -> tuple[Symmetry, ...]:
        """Cores that no dead reading tells apart, and what would."""
        return symmetries_found(self.space, self.roles(), direction.shown(self.space, self.asides))

    def contradiction(self) -> Contradiction | None:
        """Readings that cannot all be true, None where some answer fits them all."""
        return contradiction_of(self.space)

    @property
    def crossed(self) -> bool:
        """True where an opened limit acted on the core of the opposite button."""
        return direction.crossed(self.space, self.asides)

    def edits(self, job: Job) -> list[Edit]:
        """The session as edits of its job file."""
        return edits_of(self, job)

    # -- what next -----------------------------------------------------------------------------
    def wanted(self, now: datetime.datetime | None = None) -> Wanted | None:
        """What to do next; None where nothing more can be found out. now: the time, for the pause
        after which the isolation is proved again."""
        last = max((t.at for t in self.taken if t.at is not None), default=None)
        open_steps = missing(self.gate, self.catalog, now, last)
        if open_steps:
            again = self.gate is not None and len(self.taken) > 0
            return Wanted("gate", reason("gate again" if again else "gate", self), open_steps)
        if len(self.taken) >= PATIENCE * max(1, len(self.cores)):
            return None
        if self.next.choice is not None:
            return self._asked(self.next.choice, self.next.purpose)
        if self.certain:
            truth = self.next.standing.answers[0]
            cover = covering(self.space, truth, self.listed, self.ties, self.skipped)
            if cover is not None:
                return Wanted("reading", reason("cover", self, cover), (), cover, "cover")
        probe = direction.probe(self)
        if probe is not None:
            return Wanted("reading", reason("direction", self, probe), (), probe, "direction", 1.0)
        if self.gate is not None and self.gate.qualified_person:
            choice = live.choice(self.space, self.skipped)
            if choice is not None:
                return self._asked(choice, "live")
        return None

    def _asked(self, choice: Choice, purpose: str) -> Wanted:
        why = reason(purpose, self, choice.probe)
        return Wanted("reading", why, (), choice.probe, purpose, choice.bits, choice.answers, choice.trouble)


def identify(job: Job, catalog: Catalog, buttons: frozenset[str] | None = None, ties: bool = True) -> Session:
    """The session of a job: its cores, gate, meter, supply system and `[[reading]]` rows."""
    return Session.start(
        catalog, job.cores, job.gate, job.meter, job.readings,
        job=job, buttons=buttons, system=job.supply.system, ties=ties,
    )  # fmt: skip


def fits_supply(m: Model, system: str | None) -> bool:
    """True where a type can hang on that supply system; an unknown system rules nothing out."""
    if system is None:
        return True
    own = m.hoist.supply_system
    return own[:3] == system[:3] if own.startswith(("3ph", "dc")) else own == system


def fits_buttons(m: Model, buttons: frozenset[str] | None) -> bool:
    """True where the type's handset has these buttons. A second step that nobody mentioned may be there."""
    if buttons is None:
        return True
    steps = {name for name in m.buttons if name.endswith(".2")}
    named = {name for name in buttons if name.endswith(".2")}
    return m.buttons - steps == buttons - named and (not named or steps == named)


def _button(name: str) -> str:
    bare = name.strip().removeprefix("button:").removeprefix("stop:")
    return "stop" if bare in ("stop", "ES") else f"button:{bare}"


__all__ = ["Answer", "Session", "Wanted", "identify"]
