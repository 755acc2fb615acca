"""mode.link-return: a key held while the link comes back starts nothing."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import bench, motion_outputs
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.model.job import ReceiverOutput


@rule(
    "mode.link-return",
    "A key held while the link returns starts nothing",
    danger=1,
    hazard="Walking back into range with a key pressed starts the hook at a moment nobody chose.",
    sources=(
        us("29 CFR 1910.179(g)(3)(viii); NFPA 79 9.2.7 on restored signals (recalled)"),
        iec(
            "ZH 1/547; DGUV Vorschrift 54 section 8; Regulation (EU) 2023/1230 annex III 1.2.6 from 20 "
            "January 2027"
        ),
    ),
    checks="The receiver asks for all keys at rest before it answers again (neutral check), or the "
    "simulation shows "
    "no motion when the link returns with the key held.",
    needs="receiver.neutral_check: from the data sheet, or tried on the bench with the key held.",
    does_not_cover="A second transmitter that takes over (mode.stations).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, item: tuple[int, ReceiverOutput]) -> Draft:
        _, output = item
        key, wanted = "receiver.neutral_check", "no motion until the key was let go and pressed again"
        tried, moved = moves(case, f"key:{(output.key or '').removeprefix('key:')}")
        how = (
            "bench-test it: hold the key, battery out, battery in; the contact must stay open; "
            "then state receiver.neutral_check"
        )
        needs_key = ("use a receiver that checks for keys at rest",)
        # a supply that returns says nothing good about a link that returns, but this it does say
        if any(b.result == "closes" for b in bench(case, "supply-return-held", output.id)):
            found = "on the bench the output closes when supply returns with the key held"
            return failed(subject, found, wanted, *needs_key, key=key)
        if case.job.receiver.neutral_check:
            return passed(subject, "keys must be at rest before the receiver answers again", wanted, key=key)
        if case.job.receiver.neutral_check is False and moved:
            return failed(
                subject, f"link back with the key held: {', '.join(moved)}", wanted, *needs_key, key=key
            )
        if tried and not moved:
            return passed(
                subject, "link back with the key held: nothing moves until START is given", wanted, key=key
            )
        return unknown(subject, "whether keys must be at rest first is not known", wanted, how, key=key)

    return case.each([(name, (i, o)) for i, name, o in motion_outputs(case)], judge)


def moves(case: Case, key: str) -> tuple[int, tuple[str, ...]]:
    """States in which the link came back with this key held, and the motions that were seen."""
    found = [e for e in case.behaviour.events
             if e.about == "after" and e.event == "link back held" and key in e.pressed]  # fmt: skip
    return len(found), tuple(sorted({m for e in found for m in e.motions}))
