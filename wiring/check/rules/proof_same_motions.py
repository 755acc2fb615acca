"""proof.same-motions: each key alone makes the motion that its button made."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, moving, settled_at
from wiring.model.behaviour import Settled


@rule(
    "proof.same-motions",
    "Each key makes the motion its button made",
    danger=1,
    hazard="A key that lowers instead of lifting is found out with a load on the hook.",
    sources=(
        us("29 CFR 1910.179(g)(3)(iv): control movement follows load movement"),
        iec("IEC 60204-1 10.1; Machinery Directive annex I 1.2.2"),
    ),
    checks="Every button of the pendant alone, and the key that replaces it alone: the same motion at the "
    "same speed, and the same inputs of a drive. With nothing pressed no input of a drive is on that the "
    "pendant left off.",
    needs="Both circuits; a key for every button; what the second step does to the first where the "
    "receiver can do either.",
    does_not_cover="Which way up is on the real hoist (identity.direction).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    after = commands(case.after)

    def judge(subject: str, motions: tuple[str, ...]) -> Draft:
        was = settled_at(case, "before", command(case, "before", subject)).motions
        wanted = f"{moving(was)}, as the pendant did"
        if subject not in after:
            text = answered(case, "proof.same-motions")
            if text:
                return passed(f"key:{subject}", f"no key for {moving(motions)}: {text}", wanted, key="answer")
            return unknown(f"key:{subject}", f"no key commands {moving(motions)} any more", wanted,
                           "give it a key and an output",
                           'if it is meant: [[answer]] requirement = "proof.same-motions"',
                           key="receiver.output")  # fmt: skip
        if _step_two_open(case, subject):
            return unknown(f"key:{subject}", "receiver.step_two is not stated", wanted,
                           "read in its manual, or try on the bench, whether the second step adds to the "
                           "first or replaces it", key="receiver.step_two")  # fmt: skip
        state = settled_at(case, "after", command(case, "after", subject))
        now = state.motions
        if now == was:
            found = inputs(case, "before", settled_at(case, "before", command(case, "before", subject)))
            return _inputs_too(case, subject, moving(now), wanted, found, inputs(case, "after", state))
        if not now:
            return failed(f"key:{subject}", "the key alone moves nothing", wanted,
                          "follow the path from the output to the coil", key="connection")  # fmt: skip
        return failed(f"key:{subject}", f"the key alone: {moving(now)}", wanted,
                      "swap the two connections at the receiver", key="connection")  # fmt: skip

    yield from case.each([(c, m) for c, m in commands(case.before).items()], judge)
    if any(part.kind == "drive-input" for part in case.before.parts):
        yield from case.each([("nothing pressed", None)], lambda subject, _: at_rest(case, subject))


def inputs(case: Case, about: str, state: Settled) -> set[str]:
    """The inputs of a drive that are switched on in a state."""
    parts = case.circuit(about).parts
    return {p.name for p in parts if p.kind == "drive-input" and p.name in state.energised}


def _inputs_too(case: Case, subject: str, moves: str, wanted: str, was: set[str], now: set[str]) -> Draft:
    """The verdict where key and button move the same: a drive's inputs for speed are to be the same too."""
    key = f"key:{subject}"
    if lost := sorted(was - now):
        return failed(key, f"{moves}, but {', '.join(lost)} stays off, which the button switched on", wanted,
                      "follow the path from the output to the input", key="connection")  # fmt: skip
    if more := sorted(now - was):
        return failed(key, f"{moves}, but {', '.join(more)} is on, which the button left off", wanted,
                      "follow the path from the output to the input", key="connection")  # fmt: skip
    return passed(key, moves, wanted)


def at_rest(case: Case, subject: str) -> Draft:
    """A drive's inputs with nothing pressed: a reset or a speed that is always on is no command any more."""
    was = inputs(case, "before", settled_at(case, "before", frozenset()))
    now = inputs(case, "after", settled_at(case, "after", frozenset()))
    wanted = "no input of the drive on that the pendant left off"
    if more := sorted(now - was):
        return failed(subject, f"{', '.join(more)} on with nothing pressed; off with the pendant", wanted,
                      "take out what bridges the output", key="connection")  # fmt: skip
    return passed(subject, "the same inputs of the drive as with the pendant" if now == was else
                  f"off, and on with the pendant: {', '.join(sorted(was - now))}", wanted)  # fmt: skip


def _step_two_open(case: Case, subject: str) -> bool:
    """True for a second step where the receiver type leaves open what it does to the first, and the job
    does not say."""
    entry = case.receiver_type
    either = entry is not None and entry.step_two == "either"
    return either and case.job.receiver.step_two is None and subject.endswith(".2")
