"""Expected readings of two demo packs, each worked out by hand from the circuit and the tables.

Resistances used: copper 14 AWG 3.14 ohm per 1000 ft; copper 1.5 mm2 flexible 16.17 ohm/km at 75 degC
(0.162 ohm for 10 m); wires inside a box 4 mohm; control contacts,
fuses and joints 10 mohm; power contacts 2 mohm; supply 50 mohm.
"""

from __future__ import annotations

import math

import pytest

from wiring.model.commissioning import Step
from wiring.model.plan import Plan
from wiring.pipeline import commissioning

BOX, CONTROL, POWER, SUPPLY = 0.004, 0.01, 0.002, 0.05  # [ohm]
W1_MALT, W2_MALT = 25 * 3.14e-3, 15 * 3.14e-3  # 25 ft and 15 ft of 14 AWG [ohm]
W1_GANTRY = 0.162  # 10 m of 1.5 mm2, warm [ohm]


@pytest.fixture(scope="module")
def malt_steps(malt: Plan) -> dict[str, Step]:
    return {o.step.id: o.step for o in commissioning(malt)}


@pytest.fixture(scope="module")
def gantry_steps(gantry: Plan) -> dict[str, Step]:
    return {o.step.id: o.step for o in commissioning(gantry)}


def test_ohms_of_a_contactor_coil_behind_an_output(malt_steps: dict[str, Step]) -> None:
    """CH1 switches coil K10.up: 0.75 x 120 V squared / 70 VA = 154 ohm, the neutral of W1, some links."""
    coil = 154.0
    hand = coil + W1_MALT + 7 * BOX
    assert malt_steps["load-CH1"].nominal == pytest.approx(hand, abs=0.02)


def test_ohms_across_an_open_output_go_the_other_way_round(gantry_steps: dict[str, Step]) -> None:
    """Across UP the meter sees coil K1 (6.2) in series with coil K0 (3.6) through the jumper: not OL."""
    hand = 6.2 + 3.6 + 2 * W1_GANTRY + 2 * CONTROL + 6 * BOX
    assert gantry_steps["open-UP"].nominal == pytest.approx(hand, abs=0.05)
    assert gantry_steps["load-UP"].nominal == pytest.approx(hand - 3.6 - W1_GANTRY, abs=0.03)


def test_earth_path_is_the_conductors_and_its_limit_a_tenth_more(malt_steps: dict[str, Step]) -> None:
    """S1 hangs on two cables: 0.0785 + 0.0471 ohm; the meter may show 0.1 ohm more."""
    step = malt_steps["earth-S1"]
    assert step.high == pytest.approx(W1_MALT + W2_MALT + 0.1, abs=1e-4)
    assert "computed 0.13 ohm" in step.wanted


def test_line_current_of_a_capacitor_motor(malt_steps: dict[str, Step]) -> None:
    """120 V on 18.5 + j18.5 ohm, and on the same behind 70 uF: 4.59 A at -45 deg and 4.48 A at +46 deg."""
    winding = complex(18.5, 18.5)
    second = winding - 1j / (2 * math.pi * 60 * 70e-6)
    at_120 = abs(120 / winding + 120 / second)
    assert at_120 == pytest.approx(6.33, abs=0.01)
    lost = common_ohms() * at_120
    assert malt_steps["amps-up"].nominal == pytest.approx(at_120 * (120 - lost) / 120, abs=0.05)


def common_ohms() -> float:
    """What the motor's current shares with the coil of K10: supply to S1 and back. [ohm]"""
    there = SUPPLY + 5 * BOX + 3 * POWER + CONTROL + W1_MALT + 2 * W2_MALT
    back = 4 * BOX + POWER
    return there + back


def test_volts_at_a_coil_that_shares_its_line_with_the_motor(malt_steps: dict[str, Step]) -> None:
    """K10.up gets 120 V less 6.3 A through 0.28 ohm: 118.3 V; it must never have less than 85 %."""
    hand = 120 - 6.3 * common_ohms()
    step = malt_steps["volts-K10.up-up"]
    assert step.nominal == pytest.approx(hand, abs=0.2)
    assert "never below 102.0 V" in step.wanted  # 0.85 x 120 V


def test_volts_behind_a_transformer_whose_plate_was_read(gantry_steps: dict[str, Step]) -> None:
    """4 % at 160 VA is 0.144 ohm at 24 V, whatever windings are recalled: 0.83 A lose 0.12 V there, about
    0.2 V more in S1's cable and contacts, 0.06 V in the coil's own conductor."""
    inside = 0.04 * 24**2 / 160
    amps, coil = 8 / 24 + 12 / 24, 8 / 24
    least = 24 - amps * (inside + W1_GANTRY + 6 * CONTROL + 8 * BOX) - coil * W1_GANTRY
    nominal = gantry_steps["volts-K0"].nominal
    assert nominal is not None and least - 0.02 < nominal < 24.0
    assert least == pytest.approx(23.6, abs=0.05)


def test_line_current_of_a_three_phase_motor(gantry_steps: dict[str, Step]) -> None:
    """400 V on star phases of 51 + j38 ohm: 231 / 63.6 = 3.63 A; transformer and brake add up to 0.3 A."""
    motor = 400 / math.sqrt(3) / abs(complex(51, 38))
    assert motor == pytest.approx(3.63, abs=0.01)
    nominal = gantry_steps["amps-up"].nominal
    assert nominal is not None and motor < nominal < motor + 28 / 400 + 0.5 * 400 / 1080
    assert "plate 3.60 A" in gantry_steps["amps-up"].wanted


def test_times_are_the_sum_of_their_chain(malt_steps: dict[str, Step], gantry_steps: dict[str, Step]) -> None:
    """Scan 50, three frames of 100, decode 50, relay 8, contactor 30, brake 230 or 780 ms; a loss takes the
    400 ms that were seen on the bench instead of scan and frames; a wired stop starts at the contactor."""
    radio, act = 0.05 + 3 * 0.1, 0.05 + 0.008
    for steps, brake, release, loss, wired in (
        (malt_steps, 0.23, "0.67 s", "0.72 s", "0.26 s"),
        (gantry_steps, 0.78, "1.22 s", "1.27 s", "0.81 s"),
    ):
        after = 0.03 + brake
        assert math.ceil((radio + act + after) * 100 - 1e-6) / 100 == float(release[:-2])
        assert math.ceil((0.4 + act + after) * 100 - 1e-6) / 100 == float(loss[:-2])
        assert f"expected up to {release} (guide)" in steps["release-up"].wanted
        assert f"expected up to {loss};" in steps["loss-up"].wanted
        assert f"expected up to {wired} (guide)" in steps["stop-S1-up"].wanted
        assert round(after, 2) == float(wired[:-2])


def test_travel_is_speed_times_time_and_the_slide(gantry_steps: dict[str, Step]) -> None:
    """8 m/min for 1.218 s is 0.162 m, the brake slides a hundredth of a minute's way, 0.08 m: 0.2424 m,
    printed as up to 0.25 m because nothing that is expected may lie above it; 0.60 m are free."""
    speed = 8 / 60
    hand = speed * 1.218 + 0.01 * 8
    assert hand == pytest.approx(0.2424, abs=1e-4)
    assert gantry_steps["travel-up"].wanted == "expected up to 0.25 m; at most the clearance 0.60 m"


def test_a_limit_of_time_is_printed_no_longer_than_it_is(malt_steps: dict[str, Step]) -> None:
    """Where the clearance ends the time at 1.7077 s, 1.70 s are printed and 1.71 s are refused."""
    step = malt_steps["release-down"]
    assert step.high is not None and 1.70 < step.high < 1.71
    assert "at most 1.70 s" in step.wanted
