"""proof.stops-kept: every stop that ended a motion has one that still does."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import idle_pole
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, moving, settled_at
from wiring.model.circuit import Stop

#: Stops that are there to lock out; how they reach is the business of supply.isolator.
LINE = ("isolator", "plug")


@rule(
    "proof.stops-kept",
    "Stops of the pendant are kept or replaced",
    danger=1,
    hazard="The red button goes with the cord; without one in its place nothing near stops the hook.",
    sources=(
        us("29 CFR 1910.179(g)(5)(iii); NEC 610.32 (2017 and 2020 texts)"),
        iec("ISO 13850 4.1.1, 4.6; Machinery Directive annex I 1.2.4.3"),
    ),
    checks="Each stop of the hoist as found with each motion running: the same stop, or another of rank 2 "
    "or more (at "
    "the hand, or near with a clear way), still ends that motion and drops the contactors that the old one "
    "dropped. Each stop that the conversion adds, the radio stop too, ends every motion, and no wire "
    "bridges a pole of it.",
    needs="Both circuits; [[stop]] rows with device and reach.",
    does_not_cover="Stops that are outside the circuit, and whether a contact can break the current "
    "(contact.stop-breaks).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, stop: Stop) -> Draft | None:
        ended = [bare for bare in commands(case.before) if ends(case, "before", bare, stop.input)]
        ended = [bare for bare in ended if bare in commands(case.after)]
        if not ended:
            return None
        found = {bare: replacement(case, bare, stop) for bare in ended}
        lost = [bare for bare, by in found.items() if by is None]
        wanted = "a stop in the circuit, at the hand or near, that ends every motion the old one ended"
        remedies = (
            "add a wired emergency stop in the feed, within reach",
            "use a receiver with a stop function",
        )
        if lost:
            motions = ", ".join(commands(case.before)[bare][0] for bare in lost)
            return failed(subject, f"{stop.kind} is gone; nothing in its place ends {motions}", wanted,
                *remedies,
                          key="stop")  # fmt: skip
        dropped = still_in(case, stop, ended, {b: by for b, by in found.items() if by})
        if dropped:
            return failed(subject, f"the new stop leaves {', '.join(dropped)} in; the old one dropped it",
                          "the stop drops what the pendant's stop dropped, the main contactor too",
                          "put the stop into the main contactor's coil circuit",
                          key="connection")  # fmt: skip
        names = sorted({by.input for by in found.values() if by})
        return passed(
            subject, f"{', '.join(names)} ends {moving(commands(case.before)[b][0] for b in ended)}", wanted
        )

    had = {stop.input for stop in case.before.stops}
    added = [(s.input, s) for s in case.after.stops if s.input not in had and s.kind not in LINE]
    return [
        *case.each([(s.input, s) for s in case.before.stops], judge),
        *case.each(added, lambda subject, stop: judge_new(case, subject, stop)),
    ]


def judge_new(case: Case, subject: str, stop: Stop) -> Draft | None:
    """A stop that the conversion brings: pressed in need, it must end whatever moves."""
    states = [command(case, "after", bare) for bare in commands(case.after)]
    running = [s for s in states if settled_at(case, "after", s).motions]
    left = [m for s in running for m in settled_at(case, "after", s | {stop.input}).motions]
    wanted = "it ends every motion"
    idle = idle_pole(case.after, stop.parts)
    if idle is not None:
        said = f"{' and '.join(idle.pins)} are joined by a wire: this pole opens nothing"
        return failed(subject, said, "every pole that is wired opens", "take the wire out", key="connection")
    if left:
        said = f"{stop.kind} pressed: still {moving(dict.fromkeys(left))}"
        remedy = "put its contacts into the feed of everything that moves"
        return failed(subject, said, wanted, remedy, key="connection")
    return passed(subject, f"{stop.kind} ends every motion", wanted) if running else None


def ends(case: Case, about: str, bare: str, stop: str) -> bool:
    """True where operating the stop ends the motion of a command that runs without it."""
    state = command(case, about, bare)
    runs = settled_at(case, about, state).motions
    return bool(runs) and not settled_at(case, about, state | {stop}).motions


def replacement(case: Case, bare: str, old: Stop) -> Stop | None:
    """The stop as converted that ends this motion: the same one, else the best of rank 2 or more."""
    able = [s for s in case.after.stops if ends(case, "after", bare, s.input)]
    same = [s for s in able if s.input == old.input]
    # an isolator is for locking out: it takes no stop button's place
    own = LINE if old.kind in LINE else ()
    near = [
        s
        for s in able
        if s.rank >= min(2, old.rank) and (s.kind not in LINE or s.kind in own)
    ]
    found = same or sorted(near, key=lambda s: -s.rank)
    return found[0] if found else None


def still_in(case: Case, old: Stop, ended: list[str], by: dict[str, Stop]) -> list[str]:
    """Coils that the old stop dropped beside the motion's own and the new one leaves in."""
    left: set[str] = set()
    for bare in ended:
        before = command(case, "before", bare)
        dropped = set(settled_at(case, "before", before).energised) - set(
            settled_at(case, "before", before | {old.input}).energised
        )
        after = settled_at(case, "after", command(case, "after", bare) | {by[bare].input})
        left |= dropped & set(after.energised)
    return sorted(left)
