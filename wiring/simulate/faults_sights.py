"""The words of the hazards, and what is seen of them before the stops are tried."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.model.behaviour import State

UNCOMMANDED, WRONG_WAY = "motion without command", "wrong direction"
NO_STOP, STOP_DEFEATED, LIMIT_DEFEATED = "no-stop", "stop defeated", "limit defeated"
RESTART, LET_GO, STALL = "starts by itself", "load let go", "stall current"
SHORT, CAPACITOR_SHORT, BOX_LIVE = "source short", "charged-capacitor short", "live box"
UNFUSED = "source short without fuse"


@dataclass(frozen=True, slots=True)
class Seen:
    """One hazard of one fault set on one motion. state, moment: where it is worst; score: rank of
    the best stop that ends it there, 0 where none does, None where a fuse has to; stops: those
    that do, best first; subject: the stop, limit or brake that failed; rank: of a stop that failed."""

    hazard: str
    motion: str
    state: State
    moment: str
    score: int | None
    stops: tuple[str, ...]
    subject: str = ""
    rank: int = 0


@dataclass(frozen=True, slots=True)
class Sight:
    """Lanes of one batch that show a hazard, before the stops are tried."""

    hazard: str
    motion: str
    moment: str
    lanes: int
    subject: str = ""
