"""Utilisation categories of contacts: make, break, time constants, derating, life."""

from __future__ import annotations


def make_capacity(rated: float, multiple: float) -> float:
    """Current a contact may close onto. [A]

    rated operational current in the category [A]; multiple of the category.
    Source: IEC 60947-5-1 table 4; IEC 60947-4-1, basis: read.

    >>> make_capacity(6, 10)
    60
    """
    return rated * multiple


def coil_category(sealed: float, border: float) -> str:
    """Category that an alternating-current coil calls for.

    sealed: holding power [VA]; border: 72 VA. Source: IEC 60947-5-1, basis: read.

    >>> coil_category(8, 72), coil_category(80, 72)
    ('AC-14', 'AC-15')
    """
    return "AC-14" if sealed <= border else "AC-15"


def category_carries(
    rated: float, rated_volts: float, volts: float, inrush: float, sealed: float, multiple: float
) -> bool:
    """True where a contact rated in a category may switch a coil.

    rated current [A] at `rated_volts`; volts of the circuit; inrush, sealed burden at `volts` [VA];
    multiple: make over rated current of the category. A rating holds at and below its voltage.
    Source: IEC 60947-5-1 table 4, basis: read.

    >>> category_carries(1.5, 240, 230, 200, 20, 10), category_carries(1.5, 240, 24, 500, 20, 10)
    (True, False)
    """
    if volts > rated_volts:
        return False
    return sealed / volts <= rated and inrush / volts <= make_capacity(rated, multiple)


def dc13_time(power: float, per_watt: float, cap: float) -> float:
    """Time to 95 percent of the current of a direct-current magnet, as the category assumes it. [s]

    power: steady [W]; per_watt: 0.006 s/W; cap: 0.3 s. Source: IEC 60947-5-1 table 4, basis: memory.

    >>> round(dc13_time(30, 0.006, 0.3), 3), dc13_time(80, 0.006, 0.3)
    (0.18, 0.3)
    """
    return min(power * per_watt, cap)


def inductive_screen(resistive: float, power_factor: float) -> float:
    """Screening figure for a coil on a contact with a resistive figure only. [A]

    resistive figure [A]; power_factor of the load. No rating: a printed one always wins.
    Source: relay makers' notes, basis: read.

    >>> inductive_screen(10, 0.4)
    4.0
    """
    return resistive * power_factor


def mixed_life(running: float, inching: float, share: float) -> float:
    """Operations a contactor lasts in mixed AC-3 and AC-4 duty. [1]

    running, inching: operations at that current in AC-3 and AC-4; share of inching operations, 0 to 1.
    Source: wear adds up linearly; contactor makers' selection guides, basis: memory.

    >>> round(mixed_life(2_000_000, 100_000, 0.1))
    689655
    """
    return 1.0 / (share / inching + (1.0 - share) / running)


def life_years(
    operations: float, starts_per_hour: float, hours_per_day: float, days_per_year: float
) -> float:
    """Years until a declared number of operations is used up. [years]

    Infinite where nothing switches. Source: ISO 13849-1 (T10d from B10d), basis: derived.

    >>> round(life_years(1_369_863, 60, 8, 250), 1)
    11.4
    """
    yearly = starts_per_hour * hours_per_day * days_per_year
    return operations / yearly if yearly > 0.0 else float("inf")
