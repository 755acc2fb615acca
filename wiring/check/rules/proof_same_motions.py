"""proof.same-motions: each key alone makes the motion that its button made."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, moving, settled_at


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
    "same speed.",
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
        now = settled_at(case, "after", command(case, "after", subject)).motions
        if now == was:
            return passed(f"key:{subject}", moving(now), wanted)
        if not now:
            return failed(f"key:{subject}", "the key alone moves nothing", wanted,
                          "follow the path from the output to the coil", key="connection")  # fmt: skip
        return failed(f"key:{subject}", f"the key alone: {moving(now)}", wanted,
                      "swap the two connections at the receiver", key="connection")  # fmt: skip

    return case.each([(c, m) for c, m in commands(case.before).items()], judge)


def _step_two_open(case: Case, subject: str) -> bool:
    """True for a second step where the receiver type leaves open what it does to the first, and the job
    does not say."""
    entry = case.receiver_type
    either = entry is not None and entry.step_two == "either"
    return either and case.job.receiver.step_two is None and subject.endswith(".2")
