"""Words and signs that every output shares: the caution, the verdict signs, clean text."""

from __future__ import annotations

import textwrap
import unicodedata

from wiring.model.finding import Verdict
from wiring.model.job import Job
from wiring.model.plan import Counts, Plan, Report

CAUTION = (
    "Lock out and prove dead before you touch a wire. Local codes and a licensed electrician decide. "
    "A material hoist does not lift people."
)
EXAMPLE = "EXAMPLE, not your hoist"

SIGNS = {
    Verdict.PASS: ("pass", "·", "."),
    Verdict.FAIL: ("FAIL", "✗", "X"),
    Verdict.UNKNOWN: ("unknown", "?", "?"),
    Verdict.TO_SHOW: ("to show", "›", ">"),
    Verdict.NOT_APPLICABLE: ("n/a", "–", "-"),
}
WIDTH = 80
FAULT_WORDS = {"none": "no fault", "single": "one fault", "double": "two faults"}


def sign(verdict: Verdict, ascii_only: bool = False) -> str:
    """A verdict as a word and a sign, `FAIL ✗`; colour is never needed to read it."""
    word, mark, plain = SIGNS[verdict]
    return f"{word} {plain if ascii_only else mark}"


def clean(text: str) -> str:
    """Text from a file, fit for a terminal: no control or direction-changing characters."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(" " if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") else c for c in text)


def wrap(text: str, indent: int = 0, hang: int | None = None, width: int = WIDTH) -> str:
    """Cleaned text wrapped at `width` columns, first line indented by `indent`, the rest by `hang`."""
    return textwrap.fill(
        clean(text),
        width=width,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent if hang is None else hang),
        break_long_words=False,
        break_on_hyphens=False,
    )


def verdict_line(report: Report) -> str:
    """The verdict in words: objections counted, or what had no objection and what is still to show."""
    counts = report.counts
    judged = counts.passed + counts.failed + counts.unknown
    if report.verdict is Verdict.PASS:
        line = f"{report.stage.capitalize()}: no objection in {judged} checks."
        if report.to_show:
            line += f" Before use, {len(report.to_show)} more must be shown."
        elif report.stage != "hand-over":
            line += " For review."
        else:
            line += " No objection to use."
        return line
    return (
        f"{objections(counts.failed, counts.unknown)} · "
        f"{counts.passed} without objection · {len(report.to_show)} to show later"
    )


def objections(failed: int, unknown: int) -> str:
    """What stands against it, counted; where nothing fails it is not called an objection."""
    return f"OBJECTIONS: {failed} fail, {unknown} unknown" if failed else f"OPEN: {unknown} unknown, no fail"


def headline(job: Job, report: Report) -> str:
    """First line of every text output: title, stage, rule set."""
    left = f"{clean(job.title)} · stage {report.stage}"
    right = f"{job.region} rules"
    gap = max(2, WIDTH - len(left) - len(right))
    return left + " " * gap + right


def proof_end(faults: str) -> str:
    """The sentence that ends every proof output. faults: "none" | "single" | "double"."""
    return (
        "Shown for the circuit written in this file and the faults listed. Not shown: wires nobody traced, "
        f"mechanical condition, timing inside switching, radio interference, more than {FAULT_WORDS[faults]}."
    )


def opening(plan: Plan) -> list[str]:
    """Lines that open every output of a plan: EXAMPLE mark, headline, identity sentence."""
    lines = [f"*** {EXAMPLE} ***"] if plan.job.example else []
    lines.append(headline(plan.job, plan.report))
    if plan.identity_sentence:
        lines += [wrap(plan.identity_sentence)]
    return lines


def total(counts: Counts) -> int:
    """How many findings were counted."""
    return counts.passed + counts.failed + counts.unknown + counts.not_applicable
