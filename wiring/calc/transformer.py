"""Control transformers: sizing, sag while coils pull in, protective devices; when one is needed at all."""

from __future__ import annotations

import math


def rated_current(apparent: float, volts: float) -> float:
    """Rated current of a winding. [A]

    apparent: rating [VA]; volts of the winding [V]. Single-phase. Source: S = U I, basis: derived.

    >>> rated_current(300, 600)
    0.5
    """
    return apparent / volts


def device_limit(apparent: float, volts: float, ratio: float) -> float:
    """Largest protective device of a winding. [A]

    apparent rating [VA]; volts of the winding [V]; ratio: from the table for method, side and current.
    Source: NEC table 450.3(B), 430.72(C), basis: read.

    >>> round(device_limit(1000, 208, 2.5), 2)
    12.02
    """
    return rated_current(apparent, volts) * ratio


def selection_inrush(sealed: float, inrush: float) -> float:
    """Volt-amperes to select by: what is on already and what pulls in. [VA]

    sealed: all that is held in [VA]; inrush: all that pulls in together [VA]. Plain addition is the
    cautious variant. Source: control transformer selection guides, NEMA ST 1 practice, basis: read.

    >>> round(selection_inrush(34, 151), 1)
    154.8
    """
    return math.hypot(sealed, inrush)


def sag(
    apparent: float, impedance: float, load: float, power_factor: float, winding_factor: float = 1.0
) -> float:
    """Secondary voltage under a load, over no-load voltage. [1]

    apparent: rating [VA]; impedance: short-circuit voltage as a share, e.g. 0.08 [1]; load at rated
    voltage [VA] and its power factor, lagging; winding_factor: share of the short-circuit impedance
    that is resistance, near 1 in small transformers. The load is a fixed impedance.
    Source: voltage divider per unit, basis: derived.

    >>> round(sag(63, 0.08, 70, 0.75), 3), round(sag(63, 0.08, 140, 0.75), 3)
    (0.936, 0.878)
    """
    if load <= 0.0:
        return 1.0
    size = apparent / load
    coil = complex(size * power_factor, size * math.sqrt(1.0 - power_factor**2))
    inner = complex(impedance * winding_factor, impedance * math.sqrt(1.0 - winding_factor**2))
    return abs(coil / (coil + inner))


def combined_load(*loads: tuple[float, float]) -> tuple[float, float]:
    """Several loads as one: volt-amperes and power factor.

    loads: pairs of burden [VA] and power factor, lagging. Source: complex power adds, basis: derived.

    >>> va, pf = combined_load((8, 0.3), (12, 1.0))
    >>> round(va, 2), round(pf, 3)
    (16.3, 0.884)
    """
    active = math.fsum(apparent * factor for apparent, factor in loads)
    reactive = math.fsum(apparent * math.sqrt(1.0 - factor**2) for apparent, factor in loads)
    total = math.hypot(active, reactive)
    return total, (active / total if total > 0.0 else 1.0)


def magnetising_inrush(apparent: float, volts: float, multiple: float) -> float:
    """Current that the primary fuse must let through at switch-on. [A]

    apparent rating [VA]; volts of the primary [V]; multiple of rated current, 40 for 10 ms.
    Source: fuse makers' notes on control transformers, basis: read.

    >>> magnetising_inrush(300, 600, 40)
    20.0
    """
    return rated_current(apparent, volts) * multiple


def transformer_needed(
    starters: int, devices: int, power: float, most_devices: int, most_power: float
) -> bool:
    """True where machine control calls for a control transformer.

    starters: motor starters; devices: control devices outside; power of the motor [W]; most_devices,
    most_power: the exemption of a single starter. Source: IEC 60204-1 clause 9.1.1, basis: read.

    >>> transformer_needed(1, 2, 1500, 2, 3000), transformer_needed(2, 5, 1500, 2, 3000)
    (False, True)
    """
    return not (starters <= 1 and devices <= most_devices and power <= most_power)
