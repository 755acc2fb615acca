"""supply.polarity: outputs and inputs source and sink alike."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.rule import both, rule
from wiring.check.states import command, commands, moving, settled_at
from wiring.model.circuit import Part


@rule(
    "supply.polarity",
    "Outputs and inputs of one polarity",
    danger=1,
    hazard="A sinking output on a sourcing input never switches, or switches when it should not.",
    sources=(both("drive manuals; data sheets of transistor outputs", "read"),),
    checks="Direct-current receivers with transistor outputs, drives and winches: each key makes its motion "
    "in the simulation, so that high side and low side fit. A receiver for direct current has plus on the "
    "first of its supply terminals.",
    needs="The polarity of outputs, inputs and supply terminals in the entries.",
    does_not_cover="Receivers that take either kind of current.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    solid = any(p.kind == "semiconductor" for p in case.after.parts)
    drives = any(p.kind == "drive-input" for p in case.after.parts)
    battery = all(p.values["frequency"].si == 0 for p in case.after.parts
                  if p.kind == "source" and "frequency" in p.values)  # fmt: skip
    entry = case.receiver_type
    if entry is not None and entry.supply_kind == "DC":
        inputs = [(p.name, p) for p in case.after.parts if p.kind == "supply-input"]
        yield from case.each(inputs, lambda s, part: leads(case, s, part))
    if not (solid or drives or battery):
        return
    outputs = [o for o in case.after.outputs if o.key.removeprefix("key:") in commands(case.after)]
    keyed = [(o.name, o.key.removeprefix("key:")) for o in outputs]
    yield from case.each(keyed, lambda s, c: judge(case, s, c))


def leads(case: Case, subject: str, part: Part) -> Draft | None:
    """The receiver's supply at rest: plus on the first terminal."""
    potential = settled_at(case, "after", ()).potential
    plus, minus = (potential.get(pin, 0j).real for pin in part.pins)
    wanted = f"plus on {part.pins[0]}"
    if plus < minus:
        return failed(subject, f"plus on {part.pins[1]}: its leads are exchanged", wanted,
                      "exchange its two leads", key="connection")  # fmt: skip
    return passed(subject, f"plus on {part.pins[0]}", wanted) if plus > minus else None


def judge(case: Case, subject: str, bare: str) -> Draft:
    """One output."""
    settled = settled_at(case, "after", command(case, "after", bare))
    wanted = "the output's key makes its motion"
    if settled.motions:
        return passed(subject, moving(settled.motions), wanted)
    return failed(subject, "its key moves nothing: output and input do not meet in polarity, or are not "
                           "landed", wanted,
                  "use an output that sources where the input sinks", "put a relay between",
                  key="connection")  # fmt: skip
