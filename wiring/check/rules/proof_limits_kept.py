"""proof.limits-kept: every limit that ended a motion still ends it."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import idle_pole
from wiring.check.rule import iec, rule, us
from wiring.check.states import OPPOSITE, base, command, commands, moving, settled_at, words
from wiring.model.circuit import Limit


@rule(
    "proof.limits-kept",
    "Limits still end their motion",
    danger=1,
    hazard="A landing point behind the limit lets the hook run into the drum.",
    sources=(
        us("29 CFR 1910.306(b)(2), 1926.406(a)(2); ASME B30.16 limit devices"),
        iec("EN 12077-2 4.6.1.3; DGUV Vorschrift 52 section 15"),
    ),
    checks="Each motion with each limit open, before and after: a limit that ended it still does, and the "
    "opposite motion still runs out of it. Each limit that the conversion adds ends its motion. A limit that "
    "takes only one winding or phase away is named: it does not stop.",
    needs="Both circuits with their limits.",
    does_not_cover="Where the switch sits on the hoist, and whether it is set right.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    after = commands(case.after)
    limits = [i.name for i in case.before.inputs if i.kind in ("limit", "thermal")]

    def judge(subject: str, bare: str) -> Draft | None:
        lost, kept, half, blocked = [], [], [], []
        for limit in limits:
            if away(case, bare, limit):
                continue  # out of a limit the hook may go, and its opening ends nothing
            was = settled_at(case, "before", command(case, "before", bare) | {limit})
            now = settled_at(case, "after", command(case, "after", bare) | {limit})
            if not was.motions and now.motions:
                lost.append(f"{words(now.state)}: {moving(now.motions)}")
            elif not was.motions:
                kept.append(limit)
                if any(t in ("stall", "single-phase") for t in now.torque.values()):
                    half.append(limit)
                back = blocked_way(case, bare, limit)
                blocked += [back] if back else []
        wanted = "the motion ends when its limit opens, the opposite one runs"
        if lost:
            return failed(subject, "; ".join(lost), wanted, "land the output where the core sat, before the "
                                                            "limit",
                          key="connection")  # fmt: skip
        if blocked:
            return failed(subject, blocked[0], wanted, "land the outputs so that each limit opens its own "
                                                       "motion only",
                          key="connection")  # fmt: skip
        if half:
            return failed(subject, f"{', '.join(half)} open: the motor keeps current without torque and may "
                                   "run on",
                          wanted, "put the limit into the coil circuit, or use a contact per winding",
                          key="connection")  # fmt: skip
        return passed(
            subject, f"ended by {', '.join(kept)}" if kept else "the pendant had no limit in it", wanted
        )

    yield from case.each([(m[0], c) for c, m in commands(case.before).items() if c in after], judge)
    had = {item.input for item in case.before.limits}
    added = [(item.input, item) for item in case.after.limits if item.input not in had]
    yield from case.each(added, lambda subject, limit: judge_new(case, subject, limit))


def judge_new(case: Case, subject: str, limit: Limit) -> Draft | None:
    """A limit that the conversion brings: open, it must end the motion it is there for."""
    wanted = "it ends the motion it is there for"
    opens = [p.name for p in case.after.parts if p.kind == "contact" and p.by == limit.input]
    idle = idle_pole(case.after, opens)
    if idle is not None:
        said = f"{' and '.join(idle.pins)} are joined by a wire: this contact opens nothing"
        return failed(subject, said, wanted, "take the wire out", key="connection")
    meant = [c for c, motions in commands(case.after).items() if base(limit.motion) in map(base, motions)]
    states = [command(case, "after", c) for c in meant]
    running = [s for s in states if settled_at(case, "after", s).motions]
    left = [m for s in running for m in settled_at(case, "after", s | {limit.input}).motions]
    if left:
        return failed(subject, f"open: still {moving(dict.fromkeys(left))}", wanted,
                      "put its contact into the circuit of that motion", key="connection")  # fmt: skip
    return passed(subject, f"ends {limit.motion}", wanted) if running else None


def away(case: Case, bare: str, limit: str) -> bool:
    """True for a limit of the opposite direction alone."""
    ends = [base(each.motion) for each in case.before.limits if each.input == limit and each.motion]
    motions = {base(motion) for motion in commands(case.before)[bare]}
    other = {opposed(motion) for motion in motions}
    return bool(ends) and all(end in other and end not in motions for end in ends)


def opposed(motion: str) -> str:
    """The motion the other way: `hoist up` -> `hoist down`."""
    kind, _, way = motion.rpartition(" ")
    return f"{kind} {OPPOSITE.get(way, way)}"


def blocked_way(case: Case, bare: str, limit: str) -> str:
    """The opposite motion that a limit of this one now blocks and did not before; empty where none."""
    step = "." + bare.partition(".")[2] if "." in bare else ""
    other = OPPOSITE.get(bare.partition(".")[0])
    if other is None or f"{other}{step}" not in commands(case.after):
        return ""
    was = settled_at(case, "before", command(case, "before", other + step) | {limit})
    now = settled_at(case, "after", command(case, "after", other + step) | {limit})
    if {base(m) for m in was.motions} - {base(m) for m in now.motions}:
        return f"{words(now.state)}: {moving(now.motions)}, the pendant got out of it"
    return ""
