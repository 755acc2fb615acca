"""What a rated contact may make and break for a kind of load, and the table row that says so.

In the United States the pilot code and the horsepower come first, elsewhere the
utilisation category; the other one serves where the first is not printed.
"""

from __future__ import annotations

from dataclasses import dataclass

from wiring.calc.pilot import PilotCode, break_limit, make_limit
from wiring.calc.utilisation import make_capacity
from wiring.check.case import Case
from wiring.check.rating import Rated
from wiring.model.entry import Table
from wiring.model.value import Value

#: Voltages for which ratings are printed, and how far above them a supply may lie (a 127 or 277 V
#: supply is not a 120 or 240 V one). Definition of the rating classes.
_CLASSES = ((120.0, 132.0), (240.0, 264.0))


#: Lowest voltage of the upper column of the direct-current codes, by its heading. [V]
_DC_UPPER = 301.0


@dataclass(frozen=True, slots=True)
class Limits:
    """make: current it may close onto; breaking: current it may open; running: current of a
    motor it may run [A]; each None where not known. text: which rating."""

    make: float | None
    breaking: float | None
    running: float | None
    text: str


def coil_limits(case: Case, rated: Rated, volts: float, ac: bool) -> Limits | None:
    """Limits for coils at a voltage, None where no coil rating is printed."""
    ways = (pilot_limits, category_limits) if case.region == "us" else (category_limits, pilot_limits)
    chosen = ways[0](case, rated, volts, ac) or ways[1](case, rated, volts, ac)
    declared = rated.use(case, "make")
    if chosen is None or declared is None:
        return chosen
    make = max(declared, chosen.make) if chosen.make is not None else declared
    return Limits(make, chosen.breaking, None, chosen.text)


def pilot_limits(case: Case, rated: Rated, volts: float, ac: bool) -> Limits | None:
    """Limits by a pilot-duty code such as B300."""
    for word in rated.words.get("pilot", "").replace("/", ",").split(","):
        code = word.strip().upper()
        table = case.catalog.tables.get("pilot-duty-ac" if ac else "pilot-duty-dc")
        if table is None or code not in table.rows:
            continue
        found = pilot_code(case, table, code)
        breaking = break_limit(found, volts)
        # a direct-current code has one figure for both, which rises below its lowest voltage
        make = make_limit(found, volts) if ac else breaking
        share = rated.share(case, "pilot")
        return Limits(make * share, breaking * share, None, f"pilot duty {code}")
    return None


def pilot_code(case: Case, table: Table, code: str) -> PilotCode:
    """A row of the pilot-duty tables as the calculation wants it."""

    def get(column: str) -> float | None:
        return case.cell_or_none(table.id, code, column)

    def listed(prefix: str) -> dict[float, float]:
        found = {float(v): get(f"{prefix}_{v}") for v in (120, 240, 480, 600, 125, 250)}
        return {v: amps for v, amps in found.items() if amps is not None}

    va = get("va")
    at_dc = listed("at")
    if 600.0 in at_dc:  # on direct current that column holds from 301 V up
        at_dc[_DC_UPPER] = at_dc.pop(600.0)
    return PilotCode(
        voltage=get("voltage") or 0.0,
        thermal=get("thermal") or 0.0,
        make_va=get("make_va") or va or 0.0,
        break_va=get("break_va") or va or 0.0,
        make_at=listed("make") or at_dc,
        break_at=listed("break") or at_dc,
    )


def category_limits(case: Case, rated: Rated, volts: float, ac: bool) -> Limits | None:
    """Limits by AC-15 or DC-13."""
    if not ac:
        amps = rated.use(case, "dc13_24")
        if amps is None or volts > 30.0:
            return None
        return Limits(make_capacity(amps, case.cell("iec-60947-5-1-4", "dc-13", "make")), amps, None, "DC-13")
    name = class_of("ac15", volts)
    amps = rated.use(case, name) if name else None
    if amps is None:
        return None
    multiple = case.cell("iec-60947-5-1-4", "ac-15", "make")
    return Limits(make_capacity(amps, multiple), amps, None, f"AC-15 {amps:g} A")


def motor_limits(case: Case, rated: Rated, volts: float) -> Limits | None:
    """Limits for a motor at a voltage, None where no motor rating is printed."""
    if case.region == "us":
        return power_limits(case, rated, volts) or ac3_limits(case, rated)
    return ac3_limits(case, rated) or power_limits(case, rated, volts)


def power_limits(case: Case, rated: Rated, volts: float) -> Limits | None:
    """Limits by a horsepower rating: the full-load current that stands for it and six times that.

    Up to 1 hp by the table of small ratings, above by the motor table of the same voltage.
    """
    name = class_of("motor", volts)
    watts = rated.use(case, name) if name else None
    if not name or not watts:
        return None
    low = name.endswith("120")
    small = _by_power(case, "ul-508-motor", "v120" if low else "v240")
    top = max((power for power, _ in small), default=0.0)
    large = _by_power(case, "nec-430-248", "v115" if low else "v230")
    rows = [*small, *((power, amps) for power, amps in large if power > top)]
    within = [(power, amps) for power, amps in rows if power <= watts * 1.03]
    if not within:
        return None
    amps = case.use(max(within, key=_power)[1])
    locked = amps * case.cell("relay-screening", "locked-over-full", "ratio")
    return Limits(locked, locked, amps, f"{watts / 745.7:.2f} hp")


def _by_power(case: Case, table: str, column: str) -> list[tuple[float, Value]]:
    """Rated power [W] and full-load current of each row of a motor table."""
    found = case.catalog.tables.get(table)
    rows = found.rows if found else ()
    return [
        (power.si, amps)
        for row in rows
        if found and (power := found.cell(row, "power")) and (amps := found.cell(row, column))
    ]


def _power(pair: tuple[float, Value]) -> float:
    return pair[0]


def ac3_limits(case: Case, rated: Rated) -> Limits | None:
    """Limits by AC-3."""
    amps = rated.use(case, "ac3")
    if amps is None:
        return None
    make = amps * case.cell("iec-60947-4-1-categories", "ac-3", "make")
    breaking = amps * case.cell("iec-60947-4-1-categories", "ac-3", "break")
    return Limits(make, breaking, amps, f"AC-3 {amps:g} A")


def class_of(prefix: str, volts: float) -> str:
    """`ac15_120` for 24 to 132 V, `ac15_240` up to 264 V, empty above."""
    for named, top in _CLASSES:
        if volts <= top:
            return f"{prefix}_{named:.0f}"
    return ""


def voltage_ceiling(case: Case, rated: Rated, ac: bool) -> tuple[float, str] | None:
    """Highest voltage a contact is rated for and the rating that says so, None where none does."""
    found: list[tuple[float, str]] = []
    if not ac:
        direct = rated.use(case, "voltage_dc")
        if direct is not None:
            found.append((direct, f"{direct:g} V DC"))
        elif rated.has("dc13_24"):
            found.append((30.0, "DC-13 at 24 V"))
        return max([*found, *pilot_ceilings(case, rated, "pilot-duty-dc")], default=None)
    stated = rated.use(case, "voltage_ac")
    if stated is not None:
        found.append((stated, f"{stated:g} V AC"))
    found += pilot_ceilings(case, rated, "pilot-duty-ac")
    if not found:
        for name, volts in (
            ("ac15_240", 264.0),
            ("motor_240", 264.0),
            ("ac15_120", 132.0),
            ("motor_120", 132.0),
        ):
            if rated.has(name):
                found.append((volts, name))
    return max(found, default=None)


def pilot_ceilings(case: Case, rated: Rated, table: str) -> list[tuple[float, str]]:
    """Highest voltage of each printed code that stands in a table [V], and the code in words."""
    found = []
    for word in rated.words.get("pilot", "").replace("/", ",").split(","):
        code = word.strip().upper()
        ceiling = case.cell_or_none(table, code, "voltage")
        if ceiling is not None:
            found.append((ceiling * rated.share(case, "pilot"), f"pilot duty {code}"))
    return found
