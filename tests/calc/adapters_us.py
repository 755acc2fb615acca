"""Each kind of United States case as a call of the calculation it tests. Results in SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from tests.calc.tables import number, table
from tests.calc.units import FT, KFT
from wiring.calc import ampacity, coil, conductor, drop, lookup, motor, pilot, protection, stop, transformer

Given = Mapping[str, Any]


def ohm_per_m(given: Given) -> float:
    base = number(f"copper-awg/{given['awg']}/{'r20_solid' if given.get('solid') else 'r75_stranded'}")
    row = "base-20" if given.get("solid") else "base-75"
    alpha = number(f"copper-temperature/{row}/alpha")
    at = number(f"copper-temperature/{row}/base")
    return conductor.at_temperature(base, at, alpha, given.get("temp_c", 75))


def resistance(given: Given) -> float:
    if "length_ft" not in given:
        return ohm_per_m(given)
    return conductor.run_resistance(ohm_per_m(given), given["length_ft"] * FT, 2 if given.get("loop") else 1)


def loop(given: Given) -> float:
    return conductor.run_resistance(ohm_per_m(given), given["length_ft"] * FT)


def drop_mils(given: Given) -> float:
    resistivity = given["k"] * conductor.CIRCULAR_MIL_M2 / FT
    area = given["cmil"] * conductor.CIRCULAR_MIL_M2
    one = conductor.resistance_from_area(resistivity, given["length_ft"] * FT, area)
    return drop.drop_dc(given["i"], 2 * one)


def drop_area(given: Given) -> float:
    one = conductor.resistance_from_area(given["rho"] * 1e-6, given["length_m"], given["area_mm2"] * 1e-6)
    return drop.drop_dc(given["i"], 2 * one)


def coil_drop(given: Given) -> float:
    return coil.coil_drop(given["va"], given["supply_v"], loop(given))


def coil_keeps(given: Given) -> bool:
    return 1 - coil_drop(given) / given["supply_v"] >= given["min_fraction"]


def count_factor(name: str, carrying: int) -> float:
    return number(f"{name}/{lookup.band_row(table(name), carrying)}/factor")


def ambient(insulation: float, degrees: float) -> float:
    row = lookup.band_row(table("nec-310-15-b1"), degrees)
    return number(f"nec-310-15-b1/{row}/c{insulation:.0f}")


def cord(given: Given) -> float:
    row = f"nec-400-5-a1/{given['awg']}/column_"
    factor = count_factor("nec-400-5-a3", given["carrying"])
    return ampacity.cord_ampacity(
        number(row + "a"),
        number(row + "b"),
        given["carrying"],
        factor,
        ambient(60, given.get("ambient_c", 30)),
    )


def wire(given: Given) -> float:
    base = number(f"nec-310-16/{given['awg']}/c{given['insulation_c']}")
    factors = [
        ambient(given["insulation_c"], given["ambient_c"]),
        count_factor("nec-310-15-c1", given["carrying"]),
    ]
    return ampacity.derated(base, factors)


def ambient_us(given: Given) -> float:
    printed = ambient(given["insulation_c"], given["ambient_c"])
    exact = ampacity.ambient_factor(given["insulation_c"], given["ambient_c"], 30)
    assert abs(printed - exact) < 0.0051
    return printed


def crane(given: Given) -> float:
    row = f"nec-610-14-a/{given['awg']}/c{given['temp_c']}_"
    notes = "nec-610-14-a-notes"
    band = lookup.band_row(table(notes), given.get("power_conductors", 3), "conductors_to", "c75-c90")
    factors = [number(f"{notes}/{band}/factor")]
    fifteen = number(f"{notes}/minutes-15/factor")
    return ampacity.crane_ampacity(number(row + "30"), number(row + "60"), given["minutes"], fifteen, factors)


def hoist_supply(given: Given) -> float:
    second = number("nec-610-limits/supply-second/ratio")
    demand = number(f"nec-610-14-e3/{given['cranes']}/factor")
    return ampacity.hoist_supply(given["motors"], second, demand, given["cranes"])


def hoist_disconnect(given: Given) -> float:
    shares = [number(f"nec-610-limits/disconnect-{part}/ratio") for part in ("sum", "motion")]
    return ampacity.disconnect_rating(given["motors"], *shares)


def crane_cord(given: Given) -> bool:
    limits = "nec-610-limits/minimum-cord"
    size = number(f"copper-awg/{given['awg']}/area") >= number(limits + "/area") * (1 - 1e-6)
    return given["in_cord"] and size and given["amps"] <= number(limits + "/current")


def motor_cell(name: str, given: Given) -> float:
    row = lookup.same_row(table(name), "power", given["hp"] * motor.HORSEPOWER_W)
    return number(f"{name}/{row}/v{given['volts']}")


def full_load(given: Given) -> float:
    return motor_cell("nec-430-248" if given["phases"] == 1 else "nec-430-250", given)


def locked_table(given: Given) -> float:
    return motor_cell("nec-430-251-a" if given["phases"] == 1 else "nec-430-251-b", given)


def locked_letter(given: Given) -> float:
    per_hp = number(f"nec-430-7-b/{given['code']}/high")
    return motor.locked_by_letter(per_hp, given["hp"] * motor.HORSEPOWER_W, given["volts"], given["phases"])


def code(name: str, dc: bool = False) -> pilot.PilotCode:
    row = f"pilot-duty-{'dc' if dc else 'ac'}/{name}/"
    cells = table(f"pilot-duty-{'dc' if dc else 'ac'}").rows[name]

    def listed(prefix: str) -> dict[float, float]:
        return {
            (301.0 if dc and column.endswith("_600") else float(column.split("_")[1])): number(row + column)
            for column in cells
            if column.startswith(prefix) and column.split("_")[1].isdigit()
        }

    va = [number(row + "va")] * 2 if dc else [number(row + "make_va"), number(row + "break_va")]
    make, cut = (listed("at_"), listed("at_")) if dc else (listed("make_"), listed("break_"))
    return pilot.PilotCode(number(row + "voltage"), number(row + "thermal"), *va, make, cut)


def pilot_make(given: Given) -> bool:
    return given["inrush_va"] / given["volts"] <= pilot.make_limit(code(given["code"]), given["volts"])


def relay_locked(given: Given) -> float:
    full = given.get("fla") or number(f"ul-508-motor/{given['hp']}/v{given['volts']}")
    return motor.locked_by_ratio(full, number("relay-screening/locked-over-full/ratio"))


def relay_motor(given: Given) -> bool:
    rating = given["motor_a"] if given["has_hp_rating"] else None
    return motor.motor_contact_fits(given["motor_a"], 6 * given["motor_a"], rating, None)


def control_protection(given: Given) -> float:
    return number(f"nec-430-72-b/{given['awg']}/column_{'c' if given['leaves'] else 'b'}")


def pendant_voltage(given: Given) -> bool:
    row = "pendant" if given.get("at_pendant", True) else "control-circuit"
    return given["v"] <= number(f"osha-limits/{row}/voltage_{'dc' if given.get('dc') else 'ac'}")


US: dict[str, Callable[[Given], object]] = {
    "gauge-diameter": lambda g: conductor.gauge_diameter(conductor.gauge_number(g["awg"])),
    "gauge-area": lambda g: conductor.gauge_area(conductor.gauge_number(g["awg"])),
    "resistance": resistance,
    "temperature-ratio": lambda g: conductor.at_temperature(
        1.0, g["t1"], number("copper-temperature/base-20/alpha"), g["t2"]
    ),
    "alpha": lambda g: conductor.alpha_at(g["alpha20"], 20, 75),
    "drop-mils": drop_mils,
    "drop-share": lambda g: drop.drop_fraction(g["drop_v"], g["supply_v"]),
    "drop-area": drop_area,
    "coil-drop": coil_drop,
    "coil-keeps": coil_keeps,
    "coil-run": lambda g: coil.longest_run(g["va"], g["supply_v"], ohm_per_m(g), g["drop_fraction"]),
    "drop-gauge": lambda g: drop.drop_dc(g["i"], loop(g)),
    "drop-three-phase-z": lambda g: drop.drop_three_phase(
        g["i"], g["z_kft"] / KFT, 0.0, 1.0, g["length_ft"] * FT
    ),
    "effective": lambda g: conductor.effective_ohms(g["r"], g["xl"], g["pf"]) / KFT,
    "cord": cord,
    "wire": wire,
    "ambient-us": ambient_us,
    "fixture": lambda g: number(f"nec-402-5/{g['awg']}/ampacity"),
    "small-device": lambda g: number(f"nec-240-4-d/{g['awg']}/device"),
    "small-continuous": lambda g: number(f"nec-240-4-d/{g['awg']}/continuous"),
    "crane": crane,
    "hoist-supply": hoist_supply,
    "hoist-disconnect": hoist_disconnect,
    "control-device": lambda g: protection.largest_device(
        g["ampacity"], number("nec-610-limits/control-device/ratio")
    ),
    "crane-cord": crane_cord,
    "full-load": full_load,
    "motor-conductor": lambda g: motor.conductor_current(g["flc"], number("nec-430-limits/conductor/ratio")),
    "smallest-wire": lambda g: lookup.first_at_least(table("nec-310-16"), f"c{g['col_c']}", g["min_a"]),
    "locked-letter": locked_letter,
    "locked-table": locked_table,
    "snap-switch": lambda g: motor.snap_switch_rating(g["flc"], number("nec-430-limits/snap-switch/ratio")),
    "pilot-break": lambda g: pilot.break_limit(code(g["code"]), g["volts"]),
    "pilot-make": pilot_make,
    "pilot-voltage": lambda g: pilot.make_limit(code(g["code"]), g["volts"]) > 0,
    "pilot-dc": lambda g: pilot.break_limit(code(g["code"], dc=True), g["volts"]),
    "pilot-ratio": lambda g: (
        pilot.make_limit(code(g["code"]), g["volts"]) / pilot.break_limit(code(g["code"]), g["volts"])
    ),
    "relay-locked": relay_locked,
    "relay-motor": relay_motor,
    "transformer-current": lambda g: transformer.rated_current(g["va"], g["volts"]),
    "transformer-inrush": lambda g: transformer.magnetising_inrush(g["va"], g["volts"], g["multiple"]),
    "transformer-device": lambda g: transformer.device_limit(g["va"], g["volts"], g["percent"] / 100),
    "transformer-selection": lambda g: transformer.selection_inrush(g["sealed"], g["inrush"]),
    "control-protection": control_protection,
    "control-wire": lambda g: lookup.first_at_least(table("nec-430-72-b"), "column_c", g["device_a"]),
    "pendant-voltage": pendant_voltage,
    "mode": lambda g: stop.hold_to_run(g["mode"]),
}
