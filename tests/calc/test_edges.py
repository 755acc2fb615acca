"""Limits of validity and exact boundaries of the calculations."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.calc.adapters_us import code
from tests.calc.tables import table
from wiring.calc import (
    ampacity,
    battery,
    capacitance,
    coil,
    conductor,
    drop,
    lookup,
    markings,
    motor,
    pilot,
    protection,
    stop,
    transformer,
    utilisation,
)

volts = st.sampled_from([12.0, 24.0, 48.0, 110.0, 120.0, 230.0, 400.0])
burden = st.floats(2, 500)
factor = st.floats(0.1, 1.0)


def test_gauge_words() -> None:
    """Gauges run from 4/0 to 40; other words are refused."""
    assert [conductor.gauge_number(size) for size in ("0", "40", "2/0", " 14 ")] == [0, 40, -1, 14]
    for wrong in ("5/0", "0/0", "41", "-1", "1.5", "x", ""):
        with pytest.raises(ValueError, match="gauge"):
            conductor.gauge_number(wrong)


def test_marks_of_contacts() -> None:
    """Marks of one place are read; single marks, letters and two places are refused."""
    assert markings.contact_function("95-96") == (9, "5-6")
    for wrong in ("11", "A1-A2", "11-22", "1-2", "111-112"):
        with pytest.raises(ValueError, match="marks"):
            markings.contact_function(wrong)


def test_bands() -> None:
    """A number takes the first band whose top is not below it; above the last there is none."""
    found = table("nec-310-15-b1")
    assert [lookup.band_row(found, t) for t in (-5, 30, 30.1, 85, 85.1)] == [
        "to-10",
        "26-30",
        "31-35",
        "81-85",
        None,
    ]
    counts = table("nec-310-15-c1")
    assert [lookup.band_row(counts, n) for n in (1, 3, 4, 40, 41, 200)] == [
        "1-3", "1-3", "4-6", "31-40", "from-41", "from-41",
    ]  # fmt: skip
    grouping = table("iec-60204-1-d2")
    assert lookup.band_row(grouping, 11, "circuits", "bunched-") == "bunched-12"
    assert lookup.band_row(grouping, 21, "circuits", "bunched-") is None
    assert lookup.band_row(table("nec-430-7-b"), 25_000) == "V"
    assert lookup.cell(grouping, None, "factor") is None
    assert lookup.cell(grouping, "bunched-2", "factor") is grouping.cell("bunched-2", "factor")


def test_next_size() -> None:
    """The smallest row that suffices is found, equal counts as enough, empty cells are passed over."""
    found = table("nec-310-16")
    assert [lookup.first_at_least(found, "c60", a) for a in (15, 15.1, 195, 196)] == ["14", "12", "4/0", None]
    assert lookup.same_row(table("nec-430-248"), "power", 0.75 * motor.HORSEPOWER_W) == "3/4"
    three_quarters = table("nec-430-248").cell("3/4", "power")
    assert three_quarters and lookup.same_row(table("nec-430-248"), "power", three_quarters.si, 0.0) == "3/4"
    assert lookup.same_row(table("nec-430-248"), "power", 0.76 * motor.HORSEPOWER_W) is None
    assert lookup.same_row(table("nec-430-248"), "power", 0.76 * motor.HORSEPOWER_W, 0.02) == "3/4"


def test_insulation_limit() -> None:
    """At the limit of the insulation nothing is left; just below it a little; at the base all."""
    assert ampacity.ambient_factor(60, 60, 30) == ampacity.ambient_factor(60, 61, 30) == 0.0
    assert 0.0 < ampacity.ambient_factor(60, 59.9, 30) < 0.1
    assert ampacity.ambient_factor(70, 40, 40) == 1.0


def test_crane_minutes() -> None:
    """Up to 15 minutes adds to the 30 minute value, between columns the lower holds, above 60 none."""
    figures = [ampacity.crane_ampacity(26, 25, minutes, 1.12) for minutes in (5, 15, 16, 30, 31, 60)]
    assert figures == pytest.approx([29.12, 29.12, 26, 26, 25, 25])
    for minutes in (0, 61):
        with pytest.raises(ValueError, match="60 minutes"):
            ampacity.crane_ampacity(26, 25, minutes, 1.12)
    assert ampacity.crane_ampacity(26, 25, 60, 1.12, [0.8, 0.5]) == pytest.approx(10)
    assert ampacity.crane_ampacity(26, 25, 0.05, 1.12) == pytest.approx(29.12)
    assert ampacity.hoist_supply([10], 0.5) == 10
    assert ampacity.hoist_supply([4, 10, 6], 0.5, 0.91, 3) == pytest.approx(13 * 3 * 0.91)


def test_cord_of_two() -> None:
    """One or two carrying conductors use the two-conductor column, three the other."""
    assert [ampacity.cord_ampacity(7, 10, n, 1.0) for n in (1, 2, 3)] == [10, 10, 7]
    assert ampacity.cord_ampacity(7, 10, 8, 0.7, 0.82) == pytest.approx(7 * 0.7 * 0.82)


@given(volts, burden, factor, st.floats(0.001, 0.05), st.floats(0.5, 0.98))
def test_longest_run_is_where_the_share_is_met(
    u: float, s: float, pf: float, ohm: float, share: float
) -> None:
    """At the exact longest run the coil gets the share asked for, and any longer run gives less."""
    load = coil.coil_impedance(s, pf, u)
    length = coil.longest_run_exact(load, ohm, share)
    assert coil.coil_share(load, 2 * ohm * length) == pytest.approx(share, rel=1e-9)
    assert coil.coil_share(load, 2 * ohm * length * 1.01) < share
    assert coil.longest_run_exact(load, ohm, 1.0001) == 0.0


@given(volts, burden, factor, st.floats(0.0, 5.0))
def test_fixed_current_never_flatters(u: float, s: float, pf: float, line: float) -> None:
    """A coil taken as a fixed current never looks better than the same coil as an impedance."""
    fixed = 1 - coil.coil_drop(s, u, line) / u
    assert fixed <= coil.coil_share(coil.coil_impedance(s, pf, u), line) + 1e-12


@given(volts, burden, st.sampled_from([50.0, 60.0]), st.floats(0.05, 0.7), st.floats(1.0, 1.2))
def test_capacitance_limit_is_where_the_coil_lets_go(
    u: float, s: float, f: float, must_drop: float, over: float
) -> None:
    """At the limit the coil gets exactly the share at which it has let go, at the highest supply."""
    limit = capacitance.capacitance_limit(s, u, f, must_drop, over)
    assert over * capacitance.residual_share(s, u, f, limit) == pytest.approx(must_drop, rel=1e-9)
    assert capacitance.residual_share(s, u, f, 0.9 * limit) < capacitance.residual_share(s, u, f, limit)


def test_capacitance_edges() -> None:
    """No capacitance passes nothing, resonance more than the source, and a suppressor uses up length."""
    assert capacitance.residual_share(8, 230, 50, 0.0) == 0.0
    resonance = 8 / (2 * math.pi * 50 * 230**2)
    assert capacitance.residual_share(8, 230, 50, resonance) > 1000
    assert capacitance.residual_share(8, 230, 50, resonance / math.sqrt(0.91), 0.3) == pytest.approx(1 / 0.3)
    limit = capacitance.capacitance_limit(8, 230, 50, 0.2)
    assert limit == capacitance.capacitance_limit(8, 230, 50, 0.2, 1.0)
    assert capacitance.longest_run_capacitance(limit, 0.3e-9, limit) == 0.0
    assert capacitance.longest_run_capacitance(limit, 0.3e-9, 2 * limit) == 0.0
    assert capacitance.longest_run_capacitance(limit, 0.3e-9, limit / 2) == pytest.approx(limit / 2 / 0.3e-9)
    assert capacitance.capacitive_current(1e-6, 100, 60) == pytest.approx(2 * math.pi * 60 * 1e-4)


def test_leakage_edges() -> None:
    """No leakage gives no voltage; a huge one gives the source and no more."""
    load = complex(2000, 6400)
    assert capacitance.leakage_volts(0.0, load, 230) == 0.0
    assert capacitance.leakage_volts(1e6, load, 230) == pytest.approx(230)
    exact = 230 * abs(load / (load + 23_000))
    assert capacitance.leakage_volts(0.010, load, 230) == pytest.approx(exact)


def test_discharge() -> None:
    """A capacitor below the wanted voltage needs no time; one time constant takes it to 1/e."""
    assert (
        capacitance.discharge_time(1e-6, 1e6, 40, 50) == capacitance.discharge_time(1e-6, 1e6, 50, 50) == 0.0
    )
    assert capacitance.discharge_time(2e-6, 1e6, math.e * 50, 50) == pytest.approx(2.0)


def test_pilot_boundaries() -> None:
    """At exactly the limit a coil may be switched, a hair above it not; the ceiling counts as inside."""
    b300 = code("B300")
    assert pilot.carries_coil(b300, 120, 3600, 360) and pilot.carries_coil(b300, 300, 3600, 360)
    assert not pilot.carries_coil(b300, 120, 3601, 100) and not pilot.carries_coil(b300, 120, 100, 361)
    assert not pilot.carries_coil(b300, 300.1, 10, 1)
    assert pilot.make_limit(b300, 300) == 12 and pilot.make_limit(b300, 300.1) == 0.0
    assert pilot.break_limit(b300, 300) == pytest.approx(1.2) and pilot.break_limit(b300, 301) == 0.0
    assert pilot.make_limit(b300, 0.0) == pilot.break_limit(b300, 0.0) == 0.0
    assert pilot.carries_coil(b300, 24, 720, 120) and not pilot.carries_coil(b300, 24, 721, 120)
    assert not pilot.carries_coil(b300, 24, 100, 120.1) and not pilot.carries_coil(
        b300, 24, 100, 90, rises=False
    )
    assert pilot.break_limit(b300, 24, rises=False) == 3.0 and pilot.break_limit(b300, 24) == 5.0


def test_pilot_without_listed_currents() -> None:
    """A code known only by its volt-amperes gives them over the voltage, break up to the carrying current."""
    bare = pilot.PilotCode(150, 5, 3600, 360)
    assert pilot.make_limit(bare, 100) == 36 and pilot.break_limit(bare, 100) == 3.6
    assert pilot.break_limit(bare, 24) == 5 and pilot.break_limit(bare, 24, rises=False) == 5


def test_direct_current_codes() -> None:
    """Direct-current codes use the listed current from 301 V up and volt-amperes over volts below."""
    n600 = code("N600", dc=True)
    assert [pilot.break_limit(n600, u) for u in (24, 125, 250, 300)] == pytest.approx(
        [10, 2.2, 1.1, 275 / 300]
    )
    r300 = code("R300", dc=True)
    assert pilot.make_limit(r300, 250) == pilot.break_limit(r300, 250) == 0.11
    assert pilot.break_limit(n600, 301) == pilot.break_limit(n600, 600) == 0.4


def test_utilisation_boundaries() -> None:
    """A rating holds at its own voltage and current, and not beyond; 72 VA is still the small magnet."""
    assert utilisation.category_carries(3, 240, 240, 7200, 720, 10)
    assert not utilisation.category_carries(3, 240, 240.1, 10, 1, 10)
    assert not utilisation.category_carries(3, 240, 240, 7201, 720, 10)
    assert not utilisation.category_carries(3, 240, 240, 7200, 721, 10)
    assert [utilisation.coil_category(va, 72) for va in (72, 72.1)] == ["AC-14", "AC-15"]
    assert utilisation.life_years(1000, 0, 8, 250) == math.inf
    assert utilisation.mixed_life(2e6, 1e5, 0.0) == pytest.approx(2e6)
    assert utilisation.mixed_life(2e6, 1e5, 1.0) == pytest.approx(1e5)


def test_motor_contact_boundaries() -> None:
    """A motor rating covers its own full-load and locked current; either one above it fails."""
    assert motor.motor_contact_fits(5.8, 34.8, 5.8, 34.8)
    assert not motor.motor_contact_fits(5.9, 34.8, 5.8, 34.8)
    assert not motor.motor_contact_fits(5.8, 34.9, 5.8, 34.8)
    assert motor.motor_contact_fits(5.8, 60, 5.8, None) and not motor.motor_contact_fits(0.1, 0.6, None, 99)
    single = motor.locked_by_letter(5000, motor.HORSEPOWER_W, 100, 1)
    assert single == pytest.approx(50) and single / motor.locked_by_letter(
        5000, motor.HORSEPOWER_W, 100, 3
    ) == pytest.approx(math.sqrt(3))
    assert motor.full_load_current(1000, 100, 0.8, 0.5, 1) == pytest.approx(25)


def test_protection_boundaries() -> None:
    """Equal currents fit; the adiabatic time falls with the square of the current."""
    assert protection.device_fits(6, 6, 6) and not protection.device_fits(6.1, 6, 10)
    assert not protection.device_fits(1, 6.1, 6)
    assert protection.trips_in_time(14.5, 10, 1.45) and not protection.trips_in_time(14.6, 10, 1.45)
    slow, fast = (protection.adiabatic_time(1e-6, amps, 115) for amps in (100, 200))
    assert slow / fast == pytest.approx(4) and slow == pytest.approx(1.3225)
    assert protection.next_below(10, [1, 3, 6, 10]) == 10 and protection.next_below(0.5, [1, 3]) is None
    assert protection.primary_covers_secondary(10, 120, 480) == pytest.approx(2.5)
    assert protection.prospective_current(24, 0.3, 0.5) == pytest.approx(30)


def test_transformer_edges() -> None:
    """No load gives no sag; a resistive load on a resistive winding divides as resistors do."""
    assert transformer.sag(100, 0.1, 0, 1.0) == 1.0
    assert transformer.sag(100, 0.1, 100, 1.0) == pytest.approx(1 / 1.1)
    assert transformer.sag(100, 0.1, 100, 0.0, 0.0) == pytest.approx(1 / 1.1)
    assert transformer.sag(100, 0.1, 100, 1.0, 0.0) == pytest.approx(1 / math.hypot(1, 0.1))
    assert transformer.combined_load() == (0.0, 1.0)
    assert transformer.combined_load((10, 0.5), (20, 0.5)) == pytest.approx((30, 0.5))
    needed = [
        transformer.transformer_needed(*n, 2, 3000)
        for n in ((1, 2, 3000), (2, 2, 10), (1, 3, 10), (1, 2, 3001))
    ]
    assert needed == [False, True, True, True]


def test_stop_edges() -> None:
    """At half a second the loss passes, at two it is still between; the larger time counts."""
    grades = [stop.watchdog_grade(t, 0.5, 2.0) for t in (0.0, 0.5, 0.5001, 2.0, 2.0001)]
    assert grades == ["pass", "pass", "between", "between", "fail"]
    assert stop.guaranteed_time(0.9, 0.6) == 0.9
    assert stop.stop_travel(0.5, 0.0, 2.0) == pytest.approx(0.0625)
    assert stop.gap_fall(1.0) == pytest.approx(4.903325) and stop.gap_fall(2.0, 0.5) == pytest.approx(9.80665)
    modes = ("momentary", "latching", "toggle", "timed", "interlocked-latching", "run-to-limit", "")
    assert [stop.hold_to_run(mode) for mode in modes] == [True] + [False] * 6
    assert stop.release_time(0.01, 3, 0.1, [0.2]) == pytest.approx(0.51)


def test_drop_along_a_path() -> None:
    """A shared common costs each load the drop of all; a path is the sum of its stretches."""
    own = drop.Stretch(0.02, 10, 1.0)
    shared = drop.Stretch(0.02, 10, 4.0)
    assert own.volts == pytest.approx(0.2)
    assert drop.path_drop([own, shared]) == pytest.approx(1.0)
    assert drop.path_drop([]) == 0.0
    assert drop.drop_single_phase(2, 0.01, 0.02, 0.6, 50) == pytest.approx(2 * 50 * 2 * (0.006 + 0.016))
    assert drop.drop_three_phase(2, 0.01, 0.0, 1.0, 50) == pytest.approx(math.sqrt(3))


@given(st.floats(50, 500), st.floats(0.0, 2.0), st.floats(10, 200), factor)
def test_starting_voltage_lies_between(u: float, line: float, amps: float, pf: float) -> None:
    """The voltage at a starting motor lies between supply less the full drop, and the supply."""
    at_motor = drop.starting_voltage(u, line, amps, pf)
    assert u - drop.drop_dc(amps, line) - 1e-9 <= at_motor <= u + 1e-9


def test_battery_edges() -> None:
    """Without a load a battery never drains; the voltage never goes below zero."""
    assert battery.days_to_drain(1000, 0.5, 0.0) == math.inf
    assert battery.days_to_drain(86_400, 1.0, 1.0) == 1.0 and battery.drained(1.0, 2) == 172_800
    assert battery.sagged(12, 0.1, 200) == 0.0 and battery.sagged(12, 0.01, 200) == pytest.approx(10)


def test_coil_power() -> None:
    """Winding resistance, impedance and budget follow from burden and voltage."""
    assert coil.winding_ohms_dc(24, 6) == 96 and coil.winding_ohms_ac(24, 8, 0.5) == 36
    assert coil.coil_impedance(50, 0.6, 100) == pytest.approx(complex(120, 160))
    assert coil.wiring_budget(0.85, 0.85) == pytest.approx(0.0) and coil.wiring_budget(0.9, 0.85) < 0
    assert coil.coil_drop(240, 24, 0.5, 0.4) == pytest.approx(2.0)
    assert conductor.reactance_at(0.1, 50, 60) == pytest.approx(0.1 * 50 / 60)
