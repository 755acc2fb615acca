"""The catalog's figures against laws they did not come from: geometry, copper, order, heat balance."""

from __future__ import annotations

import itertools
import math

import pytest

from tests.calc.tables import number, table
from wiring.calc import ampacity, conductor
from wiring.model.entry import Table

RHO_20 = 1e-6 / 58  # 100 percent IACS: 1/58 ohm mm2 per metre
GAUGES = list(table("copper-awg").rows)
METRIC = list(table("copper-mm2").rows)


@pytest.mark.parametrize("size", GAUGES)
def test_gauge_geometry(size: str) -> None:
    """Diameter and area of each gauge follow the rule of 38 equal ratios and the circle."""
    count = conductor.gauge_number(size)
    assert number(f"copper-awg/{size}/diameter") == pytest.approx(conductor.gauge_diameter(count), rel=1e-6)
    assert number(f"copper-awg/{size}/area") == pytest.approx(conductor.gauge_area(count), rel=1e-6)


def test_three_gauges_halve_the_area() -> None:
    """Three numbers up is half the copper, ten numbers up a tenth, to one percent."""
    area = {int(size): number(f"copper-awg/{size}/area") for size in GAUGES if size.isdigit()}
    assert area[18] / area[12] == pytest.approx(0.25, rel=0.01)
    assert area[20] / area[10] == pytest.approx(0.10, rel=0.02)


@pytest.mark.parametrize("size", GAUGES)
def test_gauge_resistance_is_copper(size: str) -> None:
    """Each printed resistance is copper of that area at 75 degC plus the lay of the strands."""
    area, warm = conductor.gauge_area(conductor.gauge_number(size)), 1 + 0.00393 * 55
    ideal = conductor.resistance_from_area(RHO_20 * warm, 1.0, area)
    assert number(f"copper-awg/{size}/r75_solid") == pytest.approx(ideal, rel=0.01)
    assert 1.005 < number(f"copper-awg/{size}/r75_stranded") / ideal < 1.035
    assert number(f"copper-awg/{size}/r20_solid") * warm == pytest.approx(ideal, rel=1e-3)
    tinned = table("copper-awg").cell(size, "r75_tinned")
    assert tinned is None or tinned.si > number(f"copper-awg/{size}/r75_stranded")


@pytest.mark.parametrize("size", METRIC)
def test_metric_resistance_is_copper(size: str) -> None:
    """Each metric maximum lies above copper of its area, by a third at most, tinned above plain."""
    area = number(f"copper-mm2/{size}/area")
    ideal = conductor.resistance_from_area(RHO_20, 1.0, area)
    for kind in ("class2", "class5"):
        plain = table("copper-mm2").cell(size, f"r20_{kind}")
        if plain is None:
            continue
        assert 1.0 < plain.si / ideal < 1.35
        assert number(f"copper-mm2/{size}/r20_{kind}_tinned") > plain.si
    flexible = number(f"copper-mm2/{size}/r20_class5")
    assert number(f"copper-mm2/{size}/r75_flexible") == pytest.approx(flexible * (1 + 0.00393 * 55), rel=1e-5)


def by_area(found: Table, column: str) -> list[float]:
    """The column's figures in order of copper."""
    sizes = [row for row in found.rows if not row.startswith("pair") and found.cell(row, column)]
    metric = "area" in found.rows[sizes[0]]

    def area(row: str) -> float:
        return number(f"{found.id}/{row}/area") if metric else -conductor.gauge_number(row)

    return [number(f"{found.id}/{row}/{column}") for row in sorted(sizes, key=area)]


AMPACITIES = [
    (name, column)
    for name in ("nec-310-16", "nec-400-5-a1", "nec-402-5", "nec-610-14-a", "nfpa-79-12-5-1", "iec-60204-1-6")
    for column in dict.fromkeys(c for row in table(name).rows.values() for c in row)
    if column != "area"
]


@pytest.mark.parametrize(("name", "column"), AMPACITIES)
def test_ampacity_grows_with_copper(name: str, column: str) -> None:
    """More copper carries more, in every column of every ampacity table."""
    amps = by_area(table(name), column)
    assert len(amps) >= 5
    assert all(small < large for small, large in itertools.pairwise(amps))


def test_hotter_insulation_never_carries_less() -> None:
    """Within a row of an ampacity table a higher temperature column or a shorter time never has less."""
    pairs = [("nec-310-16", "c60", "c75"), ("nec-310-16", "c75", "c90"), ("nec-610-14-a", "c75_60", "c75_30"),
             ("nec-610-14-a", "c75_60", "c90_60"), ("nec-610-14-a", "c90_30", "c125_30"),
             ("nec-400-5-a1", "column_a", "column_b"), ("iec-60204-1-6", "b2", "e")]  # fmt: skip
    for name, low, high in pairs:
        for row in table(name).rows:
            a, b = table(name).cell(row, low), table(name).cell(row, high)
            assert a is None or b is None or a.si <= b.si, (name, row)


@pytest.mark.parametrize("row", list(table("nec-310-15-b1").rows))
def test_ambient_correction_is_the_heat_balance(row: str) -> None:
    """Each printed factor is the square root of the temperature rises, at the top of its band."""
    top = number(f"nec-310-15-b1/{row}/high")
    for limit in (60, 75, 90):
        printed = table("nec-310-15-b1").cell(row, f"c{limit}")
        exact = ampacity.ambient_factor(limit, top, 30)
        assert (printed is None) == (exact == 0.0 or top >= limit)
        if printed is not None:
            assert printed.si == pytest.approx(exact, abs=0.00501)


def test_machine_ambient_correction_is_the_heat_balance() -> None:
    """The metric factors are the same law on a 40 degC base for 70 degC conductors."""
    for row in table("iec-60204-1-d1").rows:
        exact = ampacity.ambient_factor(70, number(f"iec-60204-1-d1/{row}/ambient"), 40)
        assert number(f"iec-60204-1-d1/{row}/factor") == pytest.approx(exact, abs=0.00501)


def test_crane_ambient_is_never_above_the_general_one() -> None:
    """The crane table's own factors equal the general ones to 60 degC and lie below above it."""
    for row in table("nec-610-14-a-ambient").rows:
        top = number(f"nec-610-14-a-ambient/{row}/high")
        for limit in (75, 90):
            printed = table("nec-610-14-a-ambient").cell(row, f"c{limit}")
            if printed is not None and top > 20:
                exact = ampacity.ambient_factor(limit, top, 30)
                assert printed.si <= exact + 0.00501
                assert top > 60 or printed.si == pytest.approx(exact, abs=0.00501)


def test_factors_fall_with_company() -> None:
    """Every grouping factor is at most one and falls with the number of conductors, circuits or layers."""
    sets = [
        ("nec-310-15-c1", "high", ("",)),
        ("nec-400-5-a3", "high", ("",)),
        ("iec-60204-1-d2", "circuits", ("bunched-", "surface-", "tray-", "pairs-")),
        ("iec-60204-1-d3", "loaded", ("cores-", "pairs-")),
        ("iec-60204-1-drum", "layers", ("cylindrical",)),
    ]
    for name, top, prefixes in sets:
        for prefix in prefixes:
            rows = [row for row in table(name).rows if row.startswith(prefix)]
            rows.sort(key=lambda row: number(f"{name}/{row}/{top}"))
            factors = [number(f"{name}/{row}/factor") for row in rows]
            assert len(factors) >= 4 and factors[0] <= 1.0
            assert all(a >= b for a, b in itertools.pairwise(factors)), name


def test_locked_rotor_is_six_times_single_phase() -> None:
    """Single-phase locked rotor is six times full load; small three-phase motors draw more."""
    for row in table("nec-430-251-a").rows:
        for volts in ("v115", "v230"):
            assert number(f"nec-430-251-a/{row}/{volts}") == pytest.approx(
                6 * number(f"nec-430-248/{row}/{volts}")
            )
    ratio = {
        r: number(f"nec-430-251-b/{r}/v230") / number(f"nec-430-250/{r}/v230")
        for r in ("1/2", "3/4", "1", "20")
    }
    assert ratio["1/2"] > 9 > ratio["3/4"] > 7 < ratio["1"] and ratio["20"] < 6


def test_code_letters_leave_no_gap() -> None:
    """Each code letter starts one hundredth above the end of the letter before."""
    letters = sorted(table("nec-430-7-b").rows)
    assert not set(letters) & {"I", "O", "Q"}
    for a, b in itertools.pairwise(letters):
        assert number(f"nec-430-7-b/{b}/low") - number(f"nec-430-7-b/{a}/high") == pytest.approx(10.0)


def test_pilot_codes_are_volt_amperes_over_volts() -> None:
    """Every listed current of a pilot code is its volt-amperes over the voltage, to the printed digits."""
    for name in table("pilot-duty-ac").rows:
        for column in ("make", "break"):
            for volts in (120, 240, 480, 600):
                cell = table("pilot-duty-ac").cell(name, f"{column}_{volts}")
                if cell is not None:
                    assert cell.si * volts == pytest.approx(
                        number(f"pilot-duty-ac/{name}/{column}_va"), rel=0.01
                    )
    for name in table("pilot-duty-dc").rows:
        assert number(f"pilot-duty-dc/{name}/at_125") * 125 == pytest.approx(
            number(f"pilot-duty-dc/{name}/va"), rel=0.02
        )


def test_tapped_control_wire_is_a_multiple_of_its_ampacity() -> None:
    """The outside column of the tapped control table is three times the 60 degC ampacity from 14 AWG up."""
    for size in ("14", "12", "10"):
        assert number(f"nec-430-72-b/{size}/column_c") == 3 * number(f"nec-310-16/{size}/c60")


def test_machine_table_is_the_building_table_at_forty_degrees() -> None:
    """From 1.5 mm2 the machine ampacities clipped to a wall are the 30 degC figures times the PVC factor."""
    clipped = {"1.5": 17.5, "2.5": 24, "4": 32, "6": 41, "10": 57, "16": 76, "25": 96, "35": 119}
    for size, amps in clipped.items():
        printed = number(f"iec-60204-1-6/{size}/c")
        assert printed == pytest.approx(0.87 * amps, abs=0.8)


def test_field_lengths_follow_the_square_of_the_voltage() -> None:
    """Lengths at which cores held a contactor in fall with the square of the control voltage."""
    for size in ("12", "10"):
        row = "cable-capacitance-field/v{}-" + size + "/length"
        assert number(row.format(120)) / number(row.format(240)) == pytest.approx(4.0, rel=0.02)


def test_temperature_rows_are_one_law() -> None:
    """The two copper coefficients are the same line seen from 20 and from 75 degC."""
    at20, at75 = (number(f"copper-temperature/base-{base}/alpha") for base in (20, 75))
    assert conductor.alpha_at(at20, 20, 75) == pytest.approx(at75, rel=0.002)
    there = conductor.at_temperature(conductor.at_temperature(1.0, 20, at20, 75), 75, at75, 20)
    assert there == pytest.approx(1.0, abs=0.001) and math.isfinite(there)
