"""A reading that can be asked for, and how it stands in a job file.

A probe is what the person does: which cores and points go to the red lead, which
to the black, on which side of the cut cord, with what held or opened. In a job
file it is a `[[reading]]` row; states read as in every other command.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from wiring.identify.meter import FRAME, Answer
from wiring.model.behaviour import State
from wiring.model.job import Job, Reading
from wiring.model.value import Amount

REST: State = frozenset()
WORDS = ("OL", "climbs", "drops")


@dataclass(frozen=True, slots=True)
class Probe:
    """a, b: core ids and points (with a colon), tied together where there are several; side:
    handset | hoist; state: `button:up`, `stop` (the stop button), `limit:up`; live: volts on a
    live hoist, else ohms on a dead one."""

    a: frozenset[str]
    b: frozenset[str]
    side: str = "handset"
    state: State = REST
    live: str = ""  # "" | "volts AC" | "volts DC"

    @property
    def ties(self) -> int:
        """How many extra cores must be tied to a lead."""
        return len(self.a) + len(self.b) - 2

    @property
    def place(self) -> str:
        """The two groups, for a person: "1 + 3 and 2"."""
        return f"{group_words(self.a)} and {group_words(self.b)}"

    @property
    def told(self) -> str:
        """Side, state and groups, for a person who looks back: "hoist side, rest, 1 and 2"."""
        return f"{self.side} side, {state_text(self.state)}, {self.place}".replace(FRAME, "the bare metal")

    @property
    def turned(self) -> Probe:
        """The same probe with the leads changed over."""
        return Probe(self.b, self.a, self.side, self.state, self.live)


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading that was taken."""

    probe: Probe
    answer: Answer
    at: datetime.datetime | None = None


def same(probe: Probe) -> tuple[frozenset[frozenset[str]], str, State]:
    """A probe, whichever way round the leads are."""
    return frozenset((probe.a, probe.b)), probe.side, probe.state


def group_words(group: Iterable[str]) -> str:
    """A group of tied cores for a person."""
    return " + ".join(sorted(group, key=lambda name: (len(name), name)))


def group_text(group: Iterable[str]) -> str:
    """A group as the job file writes it: `1+3`."""
    return "+".join(sorted(group, key=lambda name: (len(name), name)))


def state_text(state: State) -> str:
    """A state as the job file writes it: `rest`, `press up, open limit:up`."""
    pressed = sorted(name.partition(":")[2] or name for name in state if not name.startswith("limit:"))
    pressed = [name for name in pressed if f"{name}.2" not in pressed]
    words = [f"press {name}" for name in pressed]
    words += [f"open {name}" for name in sorted(state) if name.startswith("limit:")]
    return ", ".join(words) or "rest"


def parse_state(text: str | None, stops: Iterable[str] = ()) -> State:
    """The state of a `[[reading]]`. stops: names under which the stop button may stand there."""
    found = set()
    stop_names = {"stop", *stops, *(name.partition(":")[2] for name in stops)}
    for clause in (piece.strip() for piece in (text or "rest").split(",")):
        verb, _, name = clause.partition(" ")
        bare = name.strip().removeprefix("button:").removeprefix("key:")
        if verb == "press":
            found.add("stop" if bare.removeprefix("stop:") in stop_names else f"button:{bare}")
        elif verb == "open":
            found.add("stop" if bare in stop_names else bare)
    for name in tuple(found):
        if name.endswith(".2"):
            found.add(name[:-2])
    return frozenset(found)


def reading_of(taken: Taken, lead: float = 0.0, stop: str = "stop", frame: str = FRAME) -> Reading:
    """The `[[reading]]` row of a reading, as the meter showed it. lead: resistance of the leads
    [ohm]; stop: the name of the stop button; frame: the point that is the metal of the hoist."""
    probe = taken.probe
    text = state_text(probe.state).replace("press stop", f"press {stop}")
    value: Amount | str = taken.answer.word
    if taken.answer.ohms is not None:
        shown = taken.answer.ohms + lead
        value = Amount(shown, "resistance", ohms_text(shown))
    elif taken.answer.volts is not None:
        value = Amount(taken.answer.volts, "voltage", f"{taken.answer.volts:.4g} V")
    ends = [group_text(frame if name == FRAME else name for name in group) for group in (probe.a, probe.b)]
    return Reading((ends[0], ends[1]), probe.side, text, probe.live or "ohms", value, taken.at)


def ohms_text(ohms: float) -> str:
    """Ohms as a meter shows them, in the unit a job file takes."""
    if ohms >= 1e6:
        return f"{ohms / 1e6:.3g} Mohm"
    return f"{ohms / 1e3:.3g} kohm" if ohms >= 1e3 else f"{ohms:.3g} ohm"


def taken_of(
    reading: Reading, job: Job, stops: Iterable[str] = (), frames: Iterable[str] = ()
) -> Taken | None:
    """A job's reading as a probe and its answer, the leads' resistance taken off.

    stops: names of stop buttons; frames: points that are the metal of the hoist in some type.
    None where the row does not say its side: a reading without it decides nothing.
    """
    if reading.side is None:
        return None
    ids = {core.id for core in job.cores}
    metal = {*frames, FRAME}
    groups = []
    for end in reading.between:
        ends = [end] if end in ids else [name.strip() for name in end.split("+")]
        names = [FRAME if name in metal else name.removeprefix("core:") for name in ends]
        groups.append(frozenset(names))
    live = "" if reading.quantity == "ohms" else reading.quantity
    probe = Probe(groups[0], groups[1], reading.side, parse_state(reading.state, stops), live)
    if isinstance(reading.value, str):
        return Taken(probe, Answer(word=reading.value), reading.at)
    if live:
        return Taken(probe, Answer(volts=reading.value.si), reading.at)
    lead = job.meter.lead_resistance
    return Taken(probe, Answer(ohms=max(0.0, reading.value.si - (lead.si if lead else 0.0))), reading.at)
