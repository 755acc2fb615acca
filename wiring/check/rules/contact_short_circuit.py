"""contact.short-circuit: a contact with its fuse survives the prospective current."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, passed
from wiring.check.duty import Duty, duties
from wiring.check.protecting import protecting
from wiring.check.rule import iec, rule, us
from wiring.check.sources import inner_source_of
from wiring.files.quantity import show


@rule(
    "contact.short-circuit",
    "Contacts with their fuse survive a short",
    danger=2,
    hazard="A short behind a contact welds it before a large breaker trips.",
    sources=(
        us("UL 508A SB4 (recalled); NEC 110.10"),
        iec("IEC 60947-5-1 conditional short-circuit current (recalled)"),
    ),
    checks="Prospective current at the contact, limited by a control transformer where one feeds it, "
    "against the figure "
    "contacts are tested with, behind the fuse their data sheet allows.",
    needs="supply.fault_current; rating.fuse_max.",
    does_not_cover="Let-through of breakers in place of the fuse.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        if not duty.loads:
            return None
        fuse = duty.rated.use(case, "fuse_max")
        if fuse is None:
            raise Missing(f"{duty.rated.key}.fuse_max", "read the largest fuse before it on the data sheet")
        inner = inner_source_of(case.after, (x.part for x in duty.loads))
        if inner is not None:
            raise Missing(f"what limits the current of {inner.name}", "read it in the manual of the device")
        tested = case.cell("hoist-practice", "conditional-short", "current")
        amps, how = prospective(case, duty)
        found = protecting(case, duty.contact.name)
        before = f", behind {found.text} {show(found.amps, 'A')}" if found else ""
        if how:
            return passed(subject, f"{how}{before}", f"at most {tested:.0f} A", key=duty.rated.key)
        return compared(subject, Comparison(amps, tested, "at-most", "A"), f"{amps:.0f} A "
            f"prospective{before}",
                        f"at most {tested:.0f} A, the test figure of such contacts, with its fuse",
                        "put a current-limiting fuse before it", key="supply.fault_current")  # fmt: skip

    return case.each(list(duties(case)), judge)


def prospective(case: Case, duty: Duty) -> tuple[float, str]:
    """Prospective current [A]; a text where a transformer keeps it far below any limit."""
    for part in case.after.parts:
        if part.kind == "transformer" and "secondary" in part.values:
            secondary = case.of(part, "secondary")
            if (
                abs(secondary - duty.volts) < 0.2 * duty.volts
                and "impedance" in part.values
                and "power" in part.values
            ):
                amps = case.of(part, "power") / secondary / case.of(part, "impedance")
                return amps, f"at most {amps:.0f} A from {part.name}"
    return case.amount(case.job.supply.fault_current, "supply.fault_current",
                       "ask the utility or an electrician", "A"), ""  # fmt: skip
