"""mode.stations: one place in control at a time."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.states import moving, settled_at, with_implied, words


@rule(
    "mode.stations",
    "One place in control at a time",
    danger=1,
    hazard="A second transmitter in a drawer, or the old pendant left in parallel, moves the hook behind "
    "the operator.",
    sources=(
        us("ASME B30.2, B30.17 on two stations (read in part); NFPA 79 9.2.7 (recalled)"),
        iec("IEC 60204-1 9.2.4.4; DGUV Vorschrift 52 section 7"),
    ),
    checks="How many transmitters are paired; with more than one, how they exclude each other. A pendant "
    "that stays "
    "needs a selector with a dead centre: pendant buttons and keys never act in the same position, none "
    "between.",
    needs="[[transmitter]] for each paired one; a selector device where the pendant stays; "
    '[[answer]] requirement = "mode.stations" on how several transmitters take over.',
    does_not_cover="Transmitters paired later.",
)
def check(case: Case) -> Iterable[Draft]:
    yield transmitters(case)
    if case.job.pendant.fate == "kept-with-selector" or _buttons(case):
        yield from case.each([("pendant", None)], lambda s, _: pendant(case, s))


def transmitters(case: Case) -> Draft:
    """The number of paired transmitters."""
    count = len(case.job.transmitters)
    wanted = "one transmitter, or several that exclude each other"
    if count == 0:
        return unknown("transmitters", "no transmitter is recorded", wanted, "list every one that is paired",
                       "erase all, pair one", key="transmitter")  # fmt: skip
    if count == 1:
        return passed("transmitters", "one transmitter", wanted, key="transmitter")
    text = answered(case, "mode.stations")
    if text:
        return passed("transmitters", f"{count} transmitters: {text}", wanted, key="answer")
    return unknown("transmitters", f"{count} transmitters; how they exclude each other is not stated", wanted,
                   "keep one, erase the others", 'answer it: [[answer]] requirement = "mode.stations"',
                   key="transmitter")  # fmt: skip


def _buttons(case: Case) -> list[str]:
    causes = {p.by for p in case.after.parts}
    return [i.name for i in case.after.inputs if i.kind == "button" and i.name in causes]


def pendant(case: Case, subject: str) -> Draft:
    """A pendant whose buttons stay."""
    wanted = "a selector with a dead centre: pendant or keys, never both, neither between"
    selectors = [i.name for i in case.after.inputs if i.kind == "selector"]
    remedies = ("fit a selector with a dead centre", "remove the pendant's buttons, keep its stop")
    buttons = _buttons(case)
    if not buttons:
        return passed(subject, "no button of the pendant is left in the circuit", wanted, key="pendant")
    if not selectors:
        return failed(subject, f"{', '.join(buttons)} and the keys act at once; no selector", wanted,
            *remedies,
                      key="pendant.fate")  # fmt: skip
    keys = [i.name for i in case.after.inputs if i.kind == "key" and i.name in case.after.expected]
    positions = [frozenset[str](), *(with_implied(case.after, s) for s in selectors)]
    for position in positions:
        by_key = _moved(case, keys, position)
        by_button = _moved(case, buttons, position)
        if by_key and by_button:
            return failed(subject, f"{words(position) if position else 'selector at rest'}: both "
                                   f"{by_key[0]} and "
                          f"{by_button[0]} act", wanted, *remedies, key="connection")  # fmt: skip
    centre = [p for p in positions if not _moved(case, keys, p) and not _moved(case, buttons, p)]
    if not centre:
        return failed(subject, "no position in which neither acts", wanted, *remedies, key="device")
    return passed(subject, "pendant or keys by position, neither at the centre", wanted, key="device")


def _moved(case: Case, names: list[str], position: frozenset[str]) -> list[str]:
    """Commands that move something in a selector position, with what they move."""
    found = []
    for name in names:
        motions = settled_at(case, "after", with_implied(case.after, name) | position).motions
        if motions:
            found.append(f"{name} ({moving(motions)})")
    return found
