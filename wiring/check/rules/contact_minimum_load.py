"""contact.minimum-load: small currents still wet the contact."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties, steady
from wiring.check.loads import describe
from wiring.check.nets import Net
from wiring.check.rule import both, rule
from wiring.check.verdict import holds
from wiring.files.quantity import QuantityError, parse, show

_CURRENT = re.compile(r"([0-9.]+ ?(?:mA|A|uA))")


@rule(
    "contact.minimum-load",
    "Small loads wet the contact",
    danger=3,
    hazard="A power contact films over at milliamperes; one day the key does nothing, or the stop input "
    "opens too late.",
    sources=(both("relay data sheets; IEC 61810-1 contact categories (recalled)", "read"),),
    checks="Current and voltage of drive inputs and small coils against the least load of the contact.",
    needs="rating.min_load as printed (100 mA 5 V); the load's current.",
    does_not_cover="Contacts that switched a larger load before: their skin is gone.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft | None:
        if not duty.loads or duty.kinds("motor", "brake", "transformer"):
            return None
        amps, beside = steady(case, duty), through_bleeders(case, duty)
        amps = math.hypot(amps, beside)  # at least this, whatever the angle between the two
        silver = case.cell("relay-contacts", "least-silver", "current")
        printed = duty.rated.words.get("min_load")
        if printed is None:
            if amps >= silver:
                return None  # any contact is wetted by this
            raise Missing(f"{duty.rated.key}.min_load", "read the least load on the data sheet, as printed")
        limit = least(printed)
        if limit is None:
            raise Missing(
                f"{duty.rated.key}.min_load", f"a least current such as 10 mA 12 V, found: {printed}"
            )
        low = least_volts(printed)
        if low is not None and not holds(duty.volts, low, "at-least", "V"):
            return compared(subject, Comparison(duty.volts, low, "at-least", "V"),
                            f"{duty.volts:g} V for {describe(duty.loads)}", f"at least {printed}",
                            "use a receiver with gold or low-level contacts", key=duty.rated.key)  # fmt: skip
        limit *= duty.rated.share(case, "min_load")
        return compared(subject, Comparison(amps, limit, "at-least", "A", "mA"),
                        f"{amps * 1000:.1f} mA for {describe(duty.loads)}"
                        f"{' and the resistor beside it' * (beside > 0)}", f"at least {printed}",
                        "use a receiver with gold or low-level contacts", "put a resistor beside the load",
                        key=duty.rated.key,
                        path=f"{show(amps, 'mA', toward='down')} of {show(limit, 'mA')}")  # fmt: skip

    return case.each(list(duties(case)), judge)


def through_bleeders(case: Case, duty: Duty) -> float:
    """Current of the resistors that lie straight across the loads of a contact. [A]"""
    net = Net(case.after, ())
    across = {frozenset(net.node(pin) for pin in load.part.pins[:2]) for load in duty.loads}
    found = [p for p in case.after.parts if p.kind == "suppressor" and p.rect == "bleeder"
             and frozenset(net.node(pin) for pin in p.pins) in across]  # fmt: skip
    return sum(duty.volts / case.of(part, "resistance") for part in found)


def least_volts(printed: str) -> float | None:
    """The voltage of a printed least load [V], None where there is none.

    >>> least_volts("100 mA 5 V"), least_volts("10 mA")
    (5.0, None)
    """
    found = re.search(r"([0-9.]+) ?(m?V)\b", printed)
    return parse(f"{found[1]} {found[2]}", "voltage").si if found else None


def least(printed: str) -> float | None:
    """The current of a printed least load [A], None where there is none."""
    found = _CURRENT.search(printed)
    if found is None:
        return None
    text = re.sub(r"([0-9])(mA|A|uA)", r"\1 \2", found[1])
    try:
        return parse(text, "current").si
    except QuantityError:
        return None
