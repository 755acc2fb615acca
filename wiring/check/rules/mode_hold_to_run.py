"""mode.hold-to-run: every output that carries a motion closes only while its key is held."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import bench, is_sheet, motion_outputs
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.model.job import ReceiverOutput


@rule(
    "mode.hold-to-run",
    "Motion outputs close only while the key is held",
    danger=1,
    hazard="An output that stays closed keeps the hook moving after the key is let go.",
    sources=(
        us("29 CFR 1910.179(g)(3)(vii): buttons return to off when released; ASME B30.16 operating controls"),
        iec("Machinery Directive 2006/42/EC annex I 4.2.1; IEC 60204-1 9.2.3.7 (clause id recalled)"),
    ),
    checks="The set mode of each output with a motion key is momentary, and the bench test of that output or "
    "the receiver's data sheet shows it.",
    needs="receiver.output.mode; a bench test `release` of the output, or mode_source naming the data sheet.",
    does_not_cover="Keys that stick mechanically, and whether the mode is still set after a battery change.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, item: tuple[int, ReceiverOutput]) -> Draft:
        index, output = item
        key = f"receiver.output.{index}.mode"
        wanted = "momentary: closed only while the key is held"
        released = bench(case, "release", output.id)
        stays = [b for b in released if b.result != "opens"]
        how = f"bench-test {output.id}: hold the key, let go, see the contact open (holdrun bench-test)"
        if output.mode is None:
            return unknown(subject, "the mode is not recorded", wanted, how, key=key)
        if output.mode != "momentary":
            set_by = f" ({output.mode_set_by})" if output.mode_set_by else ""
            return failed(subject, f"set: {output.mode}{set_by}", wanted,
                          "set the output to momentary, then bench-test key and battery-out",
                          "use a receiver whose outputs can only be momentary", key=key)  # fmt: skip
        if stays:
            return failed(subject, f"momentary on paper, but on the bench it {stays[0].result} after "
                                   "release", wanted,
                          "find how the mode is set; test again", key=key)  # fmt: skip
        if released:
            return passed(subject, "momentary; on the bench it opens on release", wanted, key=key)
        if is_sheet(output.mode_source):
            return passed(subject, f"momentary by {output.mode_source}", wanted, key=key)
        return unknown(subject, "momentary as typed, shown by nothing", wanted, how, key=key)

    return case.each([(name, (i, o)) for i, name, o in motion_outputs(case)], judge)
