"""mode.set-by: how the mode was set is written down and seen to be so."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import bench, good, motion_outputs, record
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.files.quantity import QuantityError, parse
from wiring.model.job import ReceiverOutput

#: A mode chosen by counting presses leaves nothing to look at afterwards.
_COUNTED = ("learn", "press", "count")


@rule(
    "mode.set-by",
    "How the mode was set is recorded and shown",
    danger=1,
    hazard="A mode set by a count of presses can change unseen when a transmitter is paired again.",
    sources=(
        us("trade practice", "practice"),
        iec("trade practice; IEC 62745 on settings that cannot change by chance (recalled)", "practice"),
    ),
    checks="For each motion output: how its mode was set is written down, and the bench test or a "
    "commissioning "
    "record shows the release. Modes counted by presses have no visible sign and need one of the two.",
    needs="receiver.output.mode_set_by; a bench test `release`, or a record `release-<key>`.",
    does_not_cover="Whether somebody changes the setting later.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, item: tuple[int, ReceiverOutput]) -> Draft:
        index, output = item
        entry = case.receiver_type
        fixed = entry is not None and entry.modes == ("momentary",)
        set_by = output.mode_set_by or (entry.mode_set if fixed and entry else None)
        shown = [b for b in bench(case, "release", output.id) if b.result == "opens"]
        key_name = (output.key or "").removeprefix("key:")
        last, current = record(case, f"release-{key_name}")
        wanted = "how the mode was set, and a test that shows it"
        key = f"receiver.output.{index}.mode_set_by"
        if set_by is None:
            return unknown(subject, "how the mode was set is not recorded", wanted,
                           "write down the jumper, switch or press count that sets it", key=key)  # fmt: skip
        kept = [b for b in bench(case, "release", output.id) if b.result != "opens"]
        if kept:
            return failed(subject, f"{set_by}; on the bench it {kept[0].result} after release", wanted,
                          "set it again and test it", key=key)  # fmt: skip
        if shown:
            return passed(subject, f"{set_by}; shown on the bench", wanted, key=key)
        if last is not None and current and (good(last.measured) or _in_time(case, last.measured)):
            return passed(subject, f"{set_by}; shown at commissioning", wanted, key=key)
        counted = any(word in set_by.lower() for word in _COUNTED)
        if fixed and not counted:
            return passed(subject, f"{set_by}; the type knows no other mode", wanted, key=key)
        found = f"{set_by}; no visible sign and no test" if counted else f"{set_by}; no test shows it"
        return unknown(subject, found, wanted, f"bench-test the release of {output.id}", key=key)

    return case.each([(name, (i, o)) for i, name, o in motion_outputs(case)], judge)


def _in_time(case: Case, measured: str) -> bool:
    """True where a record gives the time of the release, within the time usual for a loss of the link."""
    try:
        return parse(measured, "time").si <= case.cell("hoist-practice", "loss-usual", "time")
    except QuantityError:
        return False
