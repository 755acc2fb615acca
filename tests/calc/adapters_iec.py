"""Each kind of metric case as a call of the calculation it tests, with table figures. Results in SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from tests.calc.adapters_us import code
from tests.calc.tables import number, table, word
from wiring.calc import (
    ampacity,
    capacitance,
    coil,
    conductor,
    drop,
    lookup,
    markings,
    pilot,
    protection,
    stop,
    transformer,
    utilisation,
)

Given = Mapping[str, Any]


def ohm_per_m(given: Given) -> float:
    tinned = "_tinned" if given.get("metal") == "tinned" else ""
    base = number(f"copper-mm2/{given['mm2']:g}/r20_class{given['cls']}{tinned}")
    alpha = number("copper-temperature/base-20/alpha")
    return conductor.at_temperature(base, 20, alpha, given.get("T_C", 20))


def machine(given: Given) -> float:
    base = number(f"iec-60204-1-6/{given['mm2']:g}/{given['method'].lower()}")
    row = lookup.band_row(table("iec-60204-1-d1"), given["ambient_C"], "ambient")
    factors = [number(f"iec-60204-1-d1/{row}/factor")]
    if "drum" in given:
        drum = f"{given['drum'].replace(' ', '-')}-{given['layers']}"
        factors.append(number(f"iec-60204-1-drum/{drum}/factor"))
    return ampacity.derated(base, factors)


def metric_drop(given: Given) -> float:
    one, length, current = ohm_per_m(given), given["L_m"], given["I_A"]
    reactance = given.get("X", 0.0) * 1e-3
    if given["kind"] == "dc":
        return drop.drop_dc(current, conductor.run_resistance(one, length))
    along = drop.drop_three_phase if given["kind"] == "3ph" else drop.drop_single_phase
    return along(current, one, reactance, given["cos_phi"], length)


def coil_share(given: Given) -> float:
    load = coil.coil_impedance(given["S_inrush_VA"], given["cos_phi"], given["U_V"])
    length = 2 * given["L_m"]
    return coil.coil_share(load, complex(ohm_per_m(given) * length, given["X"] * 1e-3 * length))


def capacitance_run(given: Given) -> float:
    limit = capacitance.capacitance_limit(
        given["PH_VA"], given["Uc_V"], given["f_Hz"], given["m"], given["k_U"]
    )
    return capacitance.longest_run_capacitance(limit, given["c_uF_per_km"] * 1e-9)


def residual(given: Given) -> float:
    return capacitance.residual_share(given["PH_VA"], given["Uc_V"], given["f_Hz"], given["C_uF"] * 1e-6)


def pilot_cell(given: Given) -> float:
    dc = given["what"] == "dc_A"
    found = code(given["code"], dc)
    if given["what"] == "make_VA":
        return found.make_va
    limit = pilot.make_limit if given["what"] == "make_A" else pilot.break_limit
    return limit(found, given["U_V"])


def contact_coil(given: Given) -> bool:
    dc = given.get("kind") == "dc"
    inrush = given["coil_W"] if dc else given["inrush_VA"]
    sealed = given["coil_W"] if dc else given["sealed_VA"]
    return pilot.carries_coil(code(given["code"], dc), given["U_V"], inrush, sealed)


def dc13_time(given: Given) -> float:
    row = "iec-60947-5-1-4/dc-13-time/"
    return utilisation.dc13_time(given["P_W"], number(row + "time_per_power") * 1e-3, number(row + "time"))


def contact_function(given: Given) -> str:
    place, digits = markings.contact_function(given["mark"])
    form = word("contact-functions", digits, "form")
    return "".join(f"{place}{sign}" if sign.isdigit() else sign for sign in form)


def row_with(name: str, column: str, text: str) -> str:
    return next(row for row, cells in table(name).rows.items() if text in str(cells[column]))


def watchdog(given: Given) -> str:
    limits = [number(f"stop-time/loss-{row}/time_high") for row in ("usual", "ceiling")]
    return stop.watchdog_grade(given["watchdog_s"], *limits)


def control_voltage(given: Given) -> str:
    return "pass" if given["U_V"] <= number("iec-60204-1-limits/control-ac-2005/voltage") else "fail"


def transformer_needed(given: Given) -> bool:
    row = "iec-60204-1-limits/no-transformer/"
    most = int(number(row + "count"))
    return transformer.transformer_needed(
        given["motor_starters"], given["control_devices"], given["kW"] * 1000, most, number(row + "power")
    )


IEC: dict[str, Callable[[Given], object]] = {
    "resistance-20": ohm_per_m,
    "resistance-metric": ohm_per_m,
    "machine": machine,
    "ambient-iec": lambda g: ampacity.ambient_factor(g["Tc"], g["Ta_C"], 40),
    "least-size": lambda g: number(f"iec-60204-1-5/{g['place']}-{g['use']}/{g['construction']}"),
    "drop-metric": metric_drop,
    "drop-metric-share": lambda g: drop.drop_fraction(metric_drop(g), g["U_V"]),
    "coil-run-metric": lambda g: coil.longest_run(
        g["S_inrush_VA"], g["U_V"], ohm_per_m(g), g["p"], g["cos_phi"]
    ),
    "coil-share": coil_share,
    "budget": lambda g: coil.wiring_budget(g["pick_up"], g["k_supply"], g["k_transformer"]),
    "capacitance-run": capacitance_run,
    "capacitance-handbook": lambda g: capacitance.capacitance_limit_handbook(g["PH_VA"], g["Uc_V"]),
    "residual": residual,
    "may-hold": lambda g: capacitance.may_hold(
        g["residual_ratio"], number(f"coil-limits/must-drop/{g['kind']}")
    ),
    "pilot-cell": pilot_cell,
    "contact-coil": contact_coil,
    "utilisation-make": lambda g: utilisation.make_capacity(
        1.0, number(f"iec-60947-5-1-4/{g['category'].lower()}/make")
    ),
    "utilisation-break": lambda g: number(f"iec-60947-4-1-categories/{g['category'].lower()}/break"),
    "dc13-time": dc13_time,
    "colour-code": lambda g: row_with("colour-codes", "colour", g["colour"]),
    "core-colour": lambda g: word("din-47100", str(g["core"]), "code"),
    "phase-colour": lambda g: word("colour-phase", g["region"].lower(), g["conductor"].lower()),
    "function-colour": lambda g: word("colour-function", g["function"].lower().replace(" ", "-"), "code"),
    "contact-function": contact_function,
    "designation": lambda g: row_with("iec-81346-2", "examples", g["thing"]),
    "travel": lambda g: stop.stop_travel(g["v_m_per_min"] / 60, g["t_s"], g["a"]),
    "guaranteed": lambda g: stop.guaranteed_time(g["t_active"], g["t_passive"]),
    "watchdog": watchdog,
    "adiabatic": lambda g: protection.adiabatic_time(g["mm2"] * 1e-6, g["I_A"], g["k"]),
    "control-voltage": control_voltage,
    "transformer-needed": transformer_needed,
}
