"""Everything the simulation shows of a few conversions, as text to compare with.

`tests/simulate/told/<name>.txt` holds it: settled states with their voltages, events, partial
voltages, faults with their stops and stories, the stop matrix, what a meter would read. A change
that moves any of it shows there. `python -m tests.simulate.told` writes the files anew; read the
difference before it is committed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from tests.simulate import told_tests
from tests.simulate.circuits import (
    capacitor_hoist,
    circuit,
    contactor_hoist,
    part,
    receiver_hoist,
    winch,
)
from tests.simulate.told_jobs import CATALOG, job_of
from wiring.circuit import build_after, build_before
from wiring.model.behaviour import Behaviour, Event, FaultResult, Settled
from wiring.model.circuit import Circuit
from wiring.simulate import Network, behaviour, core_readings, feasible, settle

FOLDER = Path(__file__).with_name("told")
#: So many settled states of each circuit are told, and so many with impedances.
STATES, REAL = 5, 3
Pair = tuple[Circuit, Circuit]


def of_job(name: str) -> Pair:
    """Both circuits of a base job."""
    job = job_of(name)
    return build_before(job, CATALOG), build_after(job, CATALOG)


def latched() -> Pair:
    """The contactor hoist with a receiver whose outputs stay: what it does wrong is told too."""
    wrong = {"on_loss": "stays", "on_return": "restores", "neutral_check": False}
    return contactor_hoist(), receiver_hoist("latching", wrong, interlocks=())


def suppressed() -> Pair:
    """The capacitor hoist beside itself with a suppressor across each command and no thermal cut-out."""
    sound = capacitor_hoist()
    more = [
        part(f"RC{c}", "suppressor", f"pG p{c}", rect="rc", capacitance=0.22e-6, resistance=100) for c in "UD"
    ]
    kept = [p for p in sound.parts if p.name != "TP"] + [part("TP", "wire", "N MC"), *more]
    inputs = tuple(i for i in sound.inputs if i.name != "thermal:TP")
    return sound, replace(sound, about="after", parts=tuple(kept), inputs=inputs, auto_reset=())


def shared_common() -> Pair:
    """Two relays on one return, which the conversion moves to the far end of a lamp."""
    rows = [
        part("V1", "source", "L PE", voltage=24, frequency=50),
        part("F1", "fuse", "L LF", rating=2),
        part("SU", "contact", "LF u", "button:up"),
        part("SD", "contact", "LF d", "button:down"),
        *(
            part(f"K{n}", "coil", f"{at} c", voltage=24, inrush=70, inrush_pf=0.75, sealed=8, sealed_pf=0.3)
            for n, at in ((1, "u"), (2, "d"))
        ),
    ]
    sound = circuit([*rows, part("RET", "wire", "c PE")], "button:up button:down")
    lamp = part("LAMP", "load", "c PE", resistance=72)
    return sound, circuit([*rows, lamp], "button:up button:down", about="after")


PAIRS: dict[str, tuple[Callable[[], Pair], str]] = {
    "contactors": (lambda: (contactor_hoist(), receiver_hoist()), "single"),
    "latched": (latched, "single"),
    "suppressed": (suppressed, "single"),
    "winch-alone": (lambda: (winch(), winch(about="after")), "double"),
    "shared-common": (shared_common, "single"),
    "malt": (lambda: of_job("malt"), "single"),
    "two-line": (lambda: of_job("two-line"), "single"),
    "winch": (lambda: of_job("winch"), "single"),
    "drive": (lambda: of_job("drive"), "none"),
    "gantry": (lambda: of_job("gantry"), "none"),
}


def told(name: str) -> str:
    """What the simulation shows of a pair, one line an answer."""
    make, faults = PAIRS[name]
    before, after = make()
    return "\n".join(lines(behaviour(before, after, faults), before, after)) + "\n"


def lines(shown: Behaviour, before: Circuit, after: Circuit) -> Iterator[str]:
    """One line an answer."""
    for text, table in (("before", shown.before), ("after", shown.after)):
        yield f"truth {text}: {table.vectors} states, {'all' if table.complete else 'sampled'}"
        yield from (f"  {_on(r.pressed, r.open)} any {_(r.any)}: {_(r.motions)} by {_(r.energised)}"
                    for r in table.rows)  # fmt: skip
    for d in shown.differences:
        yield f"difference {_on(d.pressed, d.open)}: {_(d.before)} -> {_(d.after)}: {d.judgement}"
    yield from _events(shown.events)
    for r in shown.races:
        yield f"race {r.about} {_on(r.pressed, r.open)}: {' or '.join(_(o) for o in r.outcomes)}"
    for s in shown.sneaks:
        yield f"{s.kind} {s.about} {s.subject} {_(s.state)}: {s.volts:.3g} V {s.fraction:.3g} by {_(s.path)}"
    for row in (*shown.faults.before, *shown.faults.results) if shown.faults else ():
        yield from _fault(row)
    for stop in shown.stops:
        cells = f"{_cells(stop.before)} -> {_cells(stop.after)}"
        yield f"stops {stop.motion} after {_(stop.fault)}: {cells}: {stop.judged}"
    for text, kept in (("before", shown.settled_before), ("after", shown.settled_after)):
        yield from (line for s in kept[:STATES] for line in _settled(text, s))
    for text, circuit_ in (("before", before), ("after", after)):
        yield from _real(text, circuit_)
    yield from _readings(before)


def _real(about: str, made: Circuit) -> Iterator[str]:
    """The first states again, with windings, transformers and wires as they are."""
    network = Network(made)
    for state in [s for _, s in zip(range(REAL), feasible(network), strict=False)]:
        yield from _settled(f"{about} with impedances", settle(network, state, mode="real"))


def _events(events: Iterable[Event]) -> Iterator[str]:
    """Events that come to the same in one line, with how many they are and the first state."""
    alike: dict[str, list[str]] = {}
    for e in events:
        moved = f"{_(e.motions_before)} -> {_(e.motions)} by {_(e.energised)} latched {_(e.latched)}"
        what = f"{e.event} {e.about} {e.subject}: {moved}: {e.verdict}: {e.why}"
        alike.setdefault(what, []).append(_on(e.pressed, e.open))
    for what, states in alike.items():
        yield f"{what} [{len(states)}: {states[0]}]"


def _fault(row: FaultResult) -> Iterator[str]:
    low = ", below the floor" if row.below_floor else ""
    yield f"fault {_(row.fault)} ({row.kind}): {row.judgement}{low}, beside {row.compared_with}"
    for h in row.hazards:
        yield f"    {h.hazard} {h.motion}: {h.score_before} -> {h.score_after}, ended by {_(h.stops_left)}"
    yield from (f"    > {text}" for text in row.story)


def _settled(about: str, s: Settled) -> Iterator[str]:
    """A state, with what stands across its loads and where the brakes are."""
    facts = {"in": s.energised, "brakes": s.brakes_open, "shorts": s.shorts, "blown": s.blown,
             "may hold": s.may_hold, "marginal": s.marginal, "keeps": s.memory}  # fmt: skip
    said = "; ".join(f"{name} {_(what)}" for name, what in facts.items() if what)
    yield f"settled {about} {_(s.state)}: {_(s.motions)}; {said}{'; race' if s.race else ''}"
    yield f"    torque {_(f'{m} {t}' for m, t in sorted(s.torque.items()))}"
    yield f"    volts {_(f'{n} {_size(v)}' for n, v in sorted(s.volts.items()))}"
    yield f"    amps {_(f'{n} {_size(v)}' for n, v in sorted(s.amps.items()))}"
    yield f"    earth {_(f'{n} {_size(v)}' for n, v in sorted(s.potential.items()))}"


def _readings(before: Circuit) -> Iterator[str]:
    """What a meter reads between the cores of the circuit as found, from both ends."""
    for side, state, pair, shown in core_readings(before) if before.aliases else ():
        yield f"meter {side} {state}, {pair}: {shown}"


def _size(value: complex) -> str:
    """Three figures; what is rounding only is nothing."""
    return f"{abs(value):.3g}" if abs(value) > 1e-4 else "0"


def _cells(cells: Mapping[str, Any]) -> str:
    words = {True: "ends", False: "no", None: "-"}
    return ", ".join(f"{name} {words[held]}" for name, held in cells.items())


def _on(pressed: Iterable[str], opened: Iterable[str]) -> str:
    return f"{_(pressed)} / {_(opened)}"


def _(names: Iterable[str]) -> str:
    return " ".join(sorted(names)) or "nothing"


def main() -> None:
    """Write the texts of all pairs, and those of the commissioning tests."""
    FOLDER.mkdir(exist_ok=True)
    for name in PAIRS:
        (FOLDER / f"{name}.txt").write_text(told(name), "utf-8")
    told_tests.main()


if __name__ == "__main__":
    main()
