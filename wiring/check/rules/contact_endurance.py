"""contact.endurance: contacts last a useful time at the starts per hour."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.utilisation import life_years
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties
from wiring.check.rule import both, rule


@rule(
    "contact.endurance",
    "Contacts last",
    danger=3,
    hazard="A worn contact welds or stays open without a warning.",
    sources=(both("data sheets on electrical life; hours of use by common practice", "practice"),),
    checks="Declared electrical life over starts per hour and hours of use in a year, against a useful life.",
    needs="hoist.starts_per_hour; rating.electrical_life.",
    does_not_cover="Life at another load than the declared one.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        if not duty.loads:
            return None
        starts = case.job.hoist.starts_per_hour
        if starts is None:
            raise Missing("hoist.starts_per_hour", "count them in a busy hour")
        life = duty.rated.use(case, "electrical_life")
        if life is None:
            raise Missing(f"{duty.rated.key}.electrical_life", "read the electrical life on the data sheet")
        hours = case.cell("hoist-practice", "use", "count")
        wanted = case.cell("hoist-practice", "useful-life", "count")
        years = life_years(life, float(starts), hours, 1.0)
        return compared(subject, Comparison(years, wanted, "at-least", "1"),
                        f"{years:.1f} years at {starts} starts an hour", f"at least {wanted:g} years "
                            "(common practice)",
                        "plan its replacement", "let it drive a contactor with a longer life",
                        key=duty.rated.key,
                        path=f"{life:.0f} / ({starts} x {hours:.0f} h a year)")  # fmt: skip

    return case.each(list(duties(case)), judge)
