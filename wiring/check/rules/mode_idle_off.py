"""mode.idle-off: guards against a transmitter that acts from a pocket."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import both, rule
from wiring.model.job import Transmitter


@rule(
    "mode.idle-off",
    "Transmitter is guarded against chance actuation",
    danger=4,
    hazard="A transmitter in a pocket, dropped or laid down moves the hook.",
    sources=(
        both(
            "state work-safety guidance on remote controls of cranes: enable key, short automatic off", "read"
        ),
    ),
    checks="For each transmitter: an enable key or an automatic off is asked for and recorded.",
    needs="transmitter.enable_key and transmitter.auto_off, from its sheet or by trying.",
    does_not_cover="Recessed keys and the rule where it is kept (people.instructions).",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, item: tuple[int, Transmitter]) -> Draft:
        index, transmitter = item
        key = f"transmitter.{index}"
        advised = case.cell("hoist-practice", "auto-off", "time")
        wanted = f"an enable key, or automatic off (advised within {advised:g} s)"
        if transmitter.enable_key is None and transmitter.auto_off is None:
            return unknown(subject, "neither enable key nor automatic off is recorded", wanted,
                           "try it: does it answer after a minute on the table?", key=key)  # fmt: skip
        if transmitter.enable_key:
            return passed(subject, "has an enable key", wanted, key=key)
        if transmitter.auto_off is not None:
            most = case.cell("hoist-practice", "auto-off-most", "time")
            if transmitter.auto_off.si > most:
                return failed(subject, f"no enable key, and off only after {transmitter.auto_off}", wanted,
                              "set a shorter automatic off", "use a transmitter with an enable key",
                              key=key)  # fmt: skip
            return passed(subject, f"switches itself off after {transmitter.auto_off}", wanted, key=key)
        return unknown(subject, "no enable key; automatic off is not recorded", wanted,
                       "try it: does it answer after a minute on the table?",
                       key=f"{key}.auto_off")  # fmt: skip

    items = [(f"transmitter:{t.id}", (i, t)) for i, t in enumerate(case.job.transmitters)]
    if not items:
        return [unknown("transmitter", "no transmitter is recorded", "each paired transmitter",
                        "list every transmitter that is paired", key="transmitter")]  # fmt: skip
    return case.each(items, judge)
