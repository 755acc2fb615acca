"""What a part is to the current: one complex admittance for a frequency and a condition.

The numbers here are definitions of the model (what an ideal part is replaced
by), not facts about a hoist: no verdict rests on them alone. Whatever is a fact
about a part travels in `Part.values`.
"""

from __future__ import annotations

import math

from wiring.model.circuit import Part

#: Pick-up and must-drop as fractions of rated voltage where the part states none.
#: Definition of the proof: guaranteed pick-up at 85 % (operating range of IEC 60947-4-1),
#: must-drop 20 % on AC and 10 % on DC (same standard); between them a coil "may hold".
PICK_UP = 0.85
DROP_OUT_AC = 0.20
DROP_OUT_DC = 0.10
#: Real-wire mode: resistance of a conductor, closed contact, fuse and source without a stated
#: one [ohm]. Orders of size, for voltages near a threshold; a stated value replaces them.
WIRE_OHM, CONTACT_OHM, FUSE_OHM, SOURCE_OHM = 0.02, 0.01, 0.01, 0.05
#: The same in a battery circuit, whose conductors are made for hundreds of amperes [ohm].
BATTERY_WIRE_OHM, BATTERY_CONTACT_OHM, BATTERY_SOURCE_OHM = 0.0005, 0.0002, 0.005
#: Below this a stated resistance counts as this: it keeps the equations well conditioned [ohm].
LEAST_OHM = 0.0001
#: A DC supply up to this voltage is a battery circuit [V].
BATTERY_VOLTS = 60.0
#: A part whose impedance nobody stated takes the whole voltage and next to no current [S].
UNSTATED_S = 1e-6
#: No-load current of a transformer as a part of its rated current. It only decides where a
#: winding floats whose other side is half connected; a fed transformer does not use it.
NO_LOAD = 0.1
#: Mean of a rectified sine over its rms value: half wave and full wave (sqrt(2)/pi, 2 sqrt(2)/pi).
HALF_WAVE = math.sqrt(2.0) / math.pi
FULL_WAVE = 2.0 * HALF_WAVE


def number(part: Part, name: str) -> float | None:
    """The SI number of a property, None where the part does not state it."""
    value = part.values.get(name)
    return None if value is None else value.si


def series(resistance: float, reactance: float) -> complex:
    """Admittance of R + jX [S]; a zero impedance counts as one micro-ohm."""
    z = complex(resistance, reactance)
    return 1.0 / z if abs(z) > 1e-6 else complex(1e6)


def rectified(part: Part) -> float:
    """Mean DC volt per AC volt rms behind the part's own rectifier; 1 without one."""
    return {"half": HALF_WAVE, "full": FULL_WAVE}.get(part.rect, 1.0)


def admittance(part: Part, hertz: float, energised: bool, locked: bool, nominal: float) -> complex:
    """Admittance of a two-pin load [S]; 0 where it passes nothing at this frequency.

    energised: a coil that is in (sealed) or out (inrush); locked: a winding at
    standstill; nominal: highest source voltage [V], for leakages given as a current.
    """
    kind = part.kind
    if kind == "coil":
        return _coil(part, hertz, energised)
    if kind in ("winding", "motor3"):
        return _winding(part, hertz, locked)
    if kind == "capacitor":
        return 2j * math.pi * hertz * (number(part, "capacitance") or 0.0)
    if kind == "suppressor":
        return _suppressor(part, hertz)
    if kind == "brake":
        resistance = number(part, "resistance")
        return complex(rectified(part) ** 2 / resistance) if resistance else complex(UNSTATED_S)
    if kind == "supply-input":
        power, volts = number(part, "power"), supply_voltage(part)
        return complex(power / volts**2) if power and volts else complex(UNSTATED_S)
    if kind == "semiconductor":  # open: its leakage at the circuit's voltage
        leakage = number(part, "leakage")
        return complex(leakage / nominal) if leakage and nominal else 0j
    resistance = number(part, "resistance")
    if resistance is None:
        return complex(UNSTATED_S)
    return series(resistance, (number(part, "reactance") or 0.0) if hertz else 0.0)


def _coil(part: Part, hertz: float, energised: bool) -> complex:
    resistance, volts = number(part, "resistance"), number(part, "voltage")
    apparent = number(part, "sealed" if energised else "inrush")
    if hertz and volts and apparent:
        factor = number(part, "sealed_pf" if energised else "inrush_pf")
        cos = 1.0 if factor is None else min(1.0, factor)
        magnitude = volts**2 / apparent
        return series(magnitude * cos, magnitude * math.sqrt(1.0 - cos * cos))
    return series(resistance, 0.0) if resistance else complex(UNSTATED_S)


def _winding(part: Part, hertz: float, locked: bool) -> complex:
    r, x = number(part, "locked_r" if locked else "run_r"), number(part, "locked_x" if locked else "run_x")
    direct = number(part, "resistance")
    if not hertz:
        r, x = (direct if x or r is None else r), 0.0
    if r is None:
        r = direct
    return series(r, x or 0.0) if r is not None else complex(UNSTATED_S)


def _suppressor(part: Part, hertz: float) -> complex:
    resistance = number(part, "resistance") or 0.0
    if part.rect == "bleeder":
        return series(resistance, 0.0) if resistance else complex(UNSTATED_S)
    capacitance = number(part, "capacitance")
    if part.rect != "rc" or not capacitance or not hertz:
        return 0j  # a varistor below its voltage and a diode in reverse pass nothing
    return series(resistance, -1.0 / (2.0 * math.pi * hertz * capacitance))


def supply_voltage(part: Part) -> float | None:
    """The voltage a receiver's supply input is made for: middle of its range [V]."""
    low, high = number(part, "minimum"), number(part, "maximum")
    if low is None:
        return number(part, "voltage") or high
    return (low + high) / 2.0 if high else low


def conductor_ohms(part: Part, battery: bool) -> float:
    """Resistance of a wire, closed contact, fuse or source in real-wire mode [ohm]."""
    stated = number(part, "resistance")
    if stated is not None:
        return max(stated, LEAST_OHM)
    if part.kind == "source":
        return BATTERY_SOURCE_OHM if battery else SOURCE_OHM
    if part.kind == "wire":
        return BATTERY_WIRE_OHM if battery else WIRE_OHM
    if battery:
        return BATTERY_CONTACT_OHM
    return FUSE_OHM if part.kind == "fuse" else CONTACT_OHM


def dc_ohms(part: Part) -> float | None:
    """What a meter on the ohm range finds through the part [ohm]; None: nothing passes.

    A transformer has two windings and is read by the caller.
    """
    if part.kind == "wire":
        return number(part, "resistance") or 0.0
    if part.kind == "fuse":
        return number(part, "resistance") or 0.0
    if part.kind in ("capacitor", "semiconductor", "supply-input", "rectifier", "source"):
        return None
    if part.kind == "suppressor" and part.rect != "bleeder":
        return None
    if part.kind == "brake" and part.rect:
        return None  # behind diodes: what is read depends on the meter
    return number(part, "resistance")


def weak(part: Part, *keys: str) -> bool:
    """True where one of these values is there and recalled or a placeholder."""
    return any(part.values[key].weak for key in keys if key in part.values)


def transformer_numbers(part: Part) -> tuple[float, complex, complex]:
    """Ratio secondary/primary, series impedance at the secondary [ohm], no-load admittance there [S].

    The impedance voltage sets the reactance; the winding resistances both count. Resistances that
    nobody stated cannot be more than an impedance voltage that somebody read on the plate.
    """
    primary, secondary = number(part, "primary") or 1.0, number(part, "secondary") or 1.0
    ratio = secondary / primary
    power = number(part, "power")
    resistance = (number(part, "secondary_resistance") or 0.0) + (
        number(part, "primary_resistance") or 0.0
    ) * ratio**2
    whole = (number(part, "impedance") or 0.0) * secondary**2 / power if power else 0.0
    if whole and weak(part, "secondary_resistance") and not weak(part, "impedance", "power"):
        resistance = min(resistance, whole)
    reactance = math.sqrt(max(0.0, whole**2 - resistance**2))
    if not resistance and not reactance:
        resistance = 0.01 * secondary**2 / power if power else 0.01
    no_load = NO_LOAD * power / secondary**2 if power else UNSTATED_S
    return ratio, complex(resistance, reactance), complex(0.0, -no_load)
