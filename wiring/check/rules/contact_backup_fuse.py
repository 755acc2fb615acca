"""contact.backup-fuse: the device before a contact is not above its maximum."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties
from wiring.check.protecting import protecting
from wiring.check.rule import iec, rule, us
from wiring.files.quantity import show


@rule(
    "contact.backup-fuse",
    "Fuse before the contact",
    danger=2,
    hazard="Behind too large a fuse a short welds the contact, and the motion cannot be released.",
    sources=(
        us("data sheet; UL 508A SB4 (recalled)"),
        iec("data sheet; IEC 60947-5-1 (recalled)"),
    ),
    checks="Rating of the protective device that limits the current of each receiver contact, the smallest "
    "of those in series, against the maximum its data sheet allows.",
    needs="rating.fuse_max; fuse ratings or supply.protective_device.",
    does_not_cover="The kind of fuse (fast, slow).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        if not duty.loads:
            return None
        limit = duty.rated.use(case, "fuse_max")
        if limit is None:
            raise Missing(f"{duty.rated.key}.fuse_max", "read the largest fuse before it on the data sheet")
        found = protecting(case, duty.contact.name)
        if found is None:
            raise Missing("supply.protective_device.rating", "read it on the panel label")
        return compared(subject, Comparison(found.amps, limit, "at-most", "A"),
                        f"{found.text} {show(found.amps, 'A')} before it",
                        f"at most {show(limit, 'A')}", "put a smaller fuse into the control feed",
                        key=duty.rated.key)  # fmt: skip

    return case.each(list(duties(case)), judge)
