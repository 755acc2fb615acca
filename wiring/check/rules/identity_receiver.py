"""identity.receiver: the receiver's terminals, links and jumpers are as the entry says."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import bench, is_sheet, outputs
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import both, rule
from wiring.model.job import ReceiverOutput


@rule(
    "identity.receiver",
    "The receiver is as its entry says",
    danger=1,
    hazard="A contact that rests closed, or a jumper nobody saw, runs the hoist when the lid goes on.",
    sources=(both("trade practice: bench test with dead contacts", "practice"),),
    checks="For each used output: at rest and with its key on the bench as the entry says, or the data "
    "sheet is named; "
    "every jumper of the type stated fitted or not.",
    needs="Bench tests `rest` and `key` per output, or receiver.source naming the data sheet; "
    "[[receiver.jumper]] rows.",
    does_not_cover="Links inside the receiver that show only with two outputs closed.",
)
def check(case: Case) -> Iterable[Draft]:
    used = [(name, (i, o)) for i, name, o in outputs(case) if o.key]
    yield from case.each(used, lambda s, item: judge(case, s, *item))
    entry = case.receiver_type
    jumpers = [p.id for p in entry.net.parts if p.role == "jumper"] if entry else []
    stated = {j.id: j.fitted for j in case.job.receiver.jumpers}
    for jumper in jumpers:
        if stated.get(jumper) is None:
            yield unknown(f"receiver:{jumper}", "fitted or not is not stated", "each jumper as it is on "
                "this unit",
                          "look at it and state [[receiver.jumper]]", key="receiver.jumper")  # fmt: skip
        else:
            word = "fitted" if stated[jumper] else "out"
            yield passed(
                f"receiver:{jumper}", word, "each jumper as it is on this unit", key="receiver.jumper"
            )


def judge(case: Case, subject: str, index: int, output: ReceiverOutput) -> Draft:
    """One output."""
    wanted = "rest and key as the entry says, on the bench or by the data sheet"
    entry = case.receiver_type
    kind = next((o for o in entry.outputs if o.id == output.id), None) if entry else None
    rest, pressed = bench(case, "rest", output.id), bench(case, "key", output.id)
    inverted = kind is not None and kind.key == "stop"
    if any(r.result == "closes" for r in rest) and not inverted:
        return failed(subject, "closed at rest on the bench", wanted, "find the terminal that is open at "
                                                                      "rest",
                      key="bench")  # fmt: skip
    if any(r.result not in ("closes", "opens") for r in pressed) and not inverted:
        return failed(subject, f"with its key it {pressed[0].result}", wanted, "find which terminals it "
            "works",
                      key="bench")  # fmt: skip
    if any(r.result == "opens" for r in pressed) and not inverted:
        return failed(
            subject, "opens with its key: it is a rest contact", wanted, "use the other terminal", key="bench"
        )
    if rest and pressed:
        return passed(subject, "rest and key as on the bench", wanted, key="bench")
    if is_sheet(case.job.receiver.source):
        return passed(subject, f"by {case.job.receiver.source}", wanted, key="receiver.source")
    lacking_ = "rest" if not rest else "key"
    return unknown(subject, f"no bench test of {lacking_}, no data sheet named", wanted,
                   f"bench-test {output.id}: {lacking_} (holdrun bench-test)", key="bench")  # fmt: skip
