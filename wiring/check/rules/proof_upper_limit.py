"""proof.upper-limit: the hook stops by itself at the top."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.rule import iec, rule, us
from wiring.check.states import base, command, commands, settled_at
from wiring.model.circuit import Circuit

#: Means other than a limit switch that end a lift at the top, by the words of the job.
_OTHER = ("slip clutch", "load-pressure", "load pressure")


@rule(
    "proof.upper-limit",
    "Hoisting ends by itself at the top",
    danger=1,
    hazard="A hook that runs into the drum breaks the rope.",
    sources=(
        us("29 CFR 1910.306(b)(2), 1926.406(a)(2); 610.55 stands in the 2008 text only"),
        iec("DGUV Vorschrift 52 section 15; EN 14492-2 (recalled)"),
    ),
    checks="Each upward hoisting motion, before and after: a limit ends it, or a slip clutch or "
    "load-pressure device is "
    "stated with its source.",
    needs="The limits of the circuit; hoist.load_holding with source, or "
    '[[answer]] requirement = "proof.upper-limit".',
    does_not_cover="Winches, and the setting of the limit.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    for about in ("before", "after"):
        circuit = case.circuit(about)
        rising = [(c, m) for c, m in commands(circuit).items() if any(base(x) == "hoist up" for x in m)]
        if not any(m.duty == "hoist" for m in circuit.motors):
            continue
        items = [(m[0], (about, c)) for c, m in rising]
        yield from case.each(items, lambda s, item: judge(case, s, item), about)


def judge(case: Case, subject: str, item: tuple[str, str]) -> Draft:
    """One upward motion of one circuit."""
    about, bare = item
    wanted = "an upper limit that ends it, or a slip clutch or load-pressure device with source"
    state = command(case, about, bare)
    ends = [x for x in limits(case.circuit(about)) if not settled_at(case, about, state | {x}).motions]
    if ends:
        return passed(subject, f"ended by {', '.join(ends)}", wanted, about=about)
    other = stated(case)
    if other:
        return passed(subject, other, wanted, about=about, key="hoist.load_holding")
    return failed(subject, "nothing ends it at the top", wanted, "add an upper limit switch in the coil "
                                                                 "circuit",
                  "state a slip clutch with its source", about=about, key="device")  # fmt: skip


def _ends_at_top(by: str) -> bool:
    """True for a device that lets go at the top; a load-pressure brake holds a load and ends nothing."""
    return any(word in by for word in _OTHER) and "brake" not in by


def limits(circuit: Circuit) -> list[str]:
    return [i.name for i in circuit.inputs if i.kind == "limit"]


def stated(case: Case) -> str:
    """A slip clutch or load-pressure device that the job states with source; empty where none."""
    holding = case.job.hoist.load_holding
    if holding and holding.source and _ends_at_top(holding.by.lower()):
        return f"{holding.by} ({holding.source})"
    return answered(case, "proof.upper-limit")
