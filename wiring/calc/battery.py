"""Battery systems: standing drain and brown-out while a motor starts."""

from __future__ import annotations

DAY_S = 86_400.0


def drained(current: float, days: float) -> float:
    """Charge taken by a load that never switches off. [A s]

    current: standing current [A]; days it stands. Source: Q = I t, basis: derived.

    >>> round(drained(0.020, 30) / 3600, 1)
    14.4
    """
    return current * days * DAY_S


def days_to_drain(capacity: float, share: float, current: float) -> float:
    """Days until a standing load has taken a share of the battery. [days]

    capacity [A s]; share that may go, 0 to 1; current [A]. Self-discharge left out. Infinite
    without a load. Source: Q = I t, basis: derived.

    >>> round(days_to_drain(60 * 3600, 0.5, 0.020), 1)
    62.5
    """
    return capacity * share / (current * DAY_S) if current > 0.0 else float("inf")


def sagged(emf: float, inner_ohms: float, current: float) -> float:
    """Battery voltage under a load. [V]

    emf: at rest [V]; inner_ohms: battery and the leads up to the tap [ohm]; current [A]; never below 0.
    Source: source with inner resistance, basis: derived.

    >>> round(sagged(12.6, 0.012, 350), 1)
    8.4
    """
    return max(0.0, emf - inner_ohms * current)
