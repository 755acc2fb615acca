"""supply.operator-disconnect: from the operator's station the power to all motors can be opened."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.loads import carried
from wiring.check.rule import rule, us
from wiring.check.states import command, commands, settled_at
from wiring.model.circuit import Stop


@rule(
    "supply.operator-disconnect",
    "Operator can open the power to all motors",
    danger=1,
    hazard="The pendant's stop opened the main contactor; a transmitter without one leaves the line closed.",
    sources=(us("NEC 610.32 as read in the 2017 and 2020 texts; 29 CFR 1910.179(g)(5)(iii)"),),
    checks="A stop at the operator's hand, or near with a clear way, that opens a contact or contactor in "
    "the power line "
    "of every motor. Where the pendant had it and the conversion has none it fails.",
    needs="[[stop]] rows with reach; a main contactor or a stop in the motor line.",
    does_not_cover="Monorail hoists that the code exempts from the local disconnect.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    had = any(opens_all(case, "before", s) for s in case.before.stops if s.kind not in ("isolator", "plug"))
    # an isolator counts only where the operator stands at it
    near = [s for s in case.after.stops if s.rank >= (3 if s.kind in ("isolator", "plug") else 2)]
    now = [s for s in near if opens_all(case, "after", s)]
    wanted = "a stop within reach that opens the power line of every motor"
    if now:
        yield passed("motors", f"{now[0].input} ({now[0].kind}) opens it", wanted)
    elif had:
        yield failed("motors", "the pendant's stop opened it; no stop within reach does now", wanted,
                     "put the stop into the main contactor's coil circuit", "add an emergency stop in the "
                         "motor line",
                     key="stop")  # fmt: skip
    else:
        yield unknown("motors", "no stop within reach opens the motor line; the pendant had none either",
            wanted,
                      "add a main contactor in the stop path", "state the reach of the isolator",
                      key="stop")  # fmt: skip


def opens_all(case: Case, about: str, stop: Stop) -> bool:
    """True where operating the stop takes a power contact before every motor out, beside the motion's own."""
    circuit = case.circuit(about)
    for bare in commands(circuit):
        state = command(case, about, bare)
        running = settled_at(case, about, state)
        if not running.motions:
            continue
        stopped = settled_at(case, about, state | {stop.input})
        if stopped.motions:
            return False
        if not _line_opened(case, about, stop, set(running.closed) - set(stopped.closed), bare):
            return False
    return bool(commands(circuit))


def _line_opened(case: Case, about: str, stop: Stop, opened: set[str], bare: str) -> bool:
    """True where a power contact that is not the command's own contactor opens."""
    circuit = case.circuit(about)
    others = {settled for c in commands(circuit) if c != bare
              for settled in settled_at(case, about, command(case, about, c)).energised}  # fmt: skip
    here = set(settled_at(case, about, command(case, about, bare)).energised)
    common = here & others if others else here
    for name in opened:
        part = circuit.part(name)
        if part.by == stop.input and _in_motor_line(case, about, name):
            return True
        if (
            part.role == "power"
            and part.by.removeprefix("coil:") in common
            and _in_motor_line(case, about, name)
        ):
            return True
    return False


def _in_motor_line(case: Case, about: str, name: str) -> bool:
    return any(x.kind == "motor" for x in carried(case, about, name)[0])
