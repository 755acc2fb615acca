"""people.instructions: the operator has a card, the transmitter a place."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us

_ASKED = {
    "card": "operator card issued",
    "storage": "where the transmitter is kept and locked after use",
    "battery": "who charges or changes the battery, and when",
}


@rule(
    "people.instructions",
    "Operator card, transmitter storage and battery rule",
    danger=4,
    hazard="An operator who was never shown the stop uses it too late; a transmitter left about is used by "
    "anyone.",
    sources=(us("ASME B30.16 16-3.1.1"), iec("DGUV Vorschrift 52 section 30")),
    checks="Operator card issued, storage rule and battery rule recorded.",
    needs='[[answer]] requirement = "people.instructions.card", ".storage" and ".battery".',
    does_not_cover="Whether the operator was trained on this hoist.",
    stage="hand-over",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, asked: str) -> Draft:
        text = answered(case, f"people.instructions.{subject}")
        key = f'[[answer]] requirement = "people.instructions.{subject}"'
        if not text:
            return unknown(subject, f"not recorded: {asked}", asked, f"record it: {key}", key="answer")
        if text.lower() in ("no", "none"):
            return failed(subject, f"{asked}: {text}", asked, "do it, then record it", key="answer")
        return passed(subject, text, asked, key="answer")

    return case.each(_ASKED.items(), judge)
