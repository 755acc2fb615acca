"""identity.as-found: the hoist worked before anybody touched it."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import good
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "identity.as-found",
    "The hoist was tried before the work",
    danger=1,
    hazard="A defect that was there before is taken for part of the conversion, and left in.",
    sources=(us("29 CFR 1910.179(j), (k)(1)"), iec("DGUV Vorschrift 52 section 30: test before use")),
    checks="A function test before the work is recorded: every button, limit and stop of the type and the "
    "brake's slide. "
    "A defect fails: repair first.",
    needs='[[record]] test = "as-found up" (each button), "as-found limit:up", "as-found stop:ES", '
    '"as-found brake", '
    "measured = works, or what was seen.",
    does_not_cover="Wear that a test without load does not show.",
    wants="before",
)
def check(case: Case) -> Iterable[Draft]:
    wanted = "every button, limit, stop and the brake tried, all working"
    asked = [_name(i.name) for i in case.before.inputs if i.kind in ("button", "limit", "stop")] + ["brake"]
    results = {r.test.removeprefix("as-found").strip(): r.measured for r in case.job.records
               if r.test.startswith("as-found")}  # fmt: skip
    bad = {name: text for name, text in results.items() if not good(text)}
    if bad:
        name, text = next(iter(bad.items()))
        return [
            failed("hoist", f"as found: {name}: {text}", wanted, "repair first", about="before", key="record")
        ]
    missing = [name for name in asked if name not in results]
    if missing:
        return [unknown("hoist", f"not recorded: {', '.join(missing)}", wanted,
                        f'try it and record it: [[record]] test = "as-found {missing[0]}", measured = '
                        '"works"',
                        about="before", key="record")]  # fmt: skip
    return [
        passed("hoist", f"{len(asked)} functions tried before the work, all working", wanted, about="before")
    ]


def _name(input: str) -> str:
    return input.removeprefix("button:")
