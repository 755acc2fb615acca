"""Numbers on the parts: supply, stated values, resistances."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.circuit.jobs import AWG_16, GANTRY, MALT
from wiring.circuit import build_after, build_before, build_type
from wiring.circuit.values import conductor_resistance
from wiring.files.quantity import parse
from wiring.model.entry import Catalog
from wiring.model.job import HoistFacts, StatedValue, Supply
from wiring.model.value import WireSize


def test_three_phase_voltage(catalog: Catalog) -> None:
    """A source of a three-phase supply has the phase voltage, with the tolerance as its spread."""
    voltage = build_before(GANTRY, catalog).part("hoist:V2").values["voltage"]
    assert voltage.si == pytest.approx(400 / math.sqrt(3)) and voltage.basis == "stated"
    assert (voltage.low, voltage.high) == pytest.approx((0.9 * voltage.si, 1.1 * voltage.si))
    assert build_before(GANTRY, catalog).part("hoist:V2").values["phase"].si == -120


def test_one_line_voltage(catalog: Catalog) -> None:
    """A single-phase source has the job's voltage, or the type's where the job is silent."""
    assert build_after(MALT, catalog).part("hoist:V1").values["voltage"].si == 118
    silent = build_before(replace(MALT, supply=Supply()), catalog).part("hoist:V1").values
    assert (silent["voltage"].si, silent["frequency"].si) == (120, 60)


def test_two_lines(catalog: Catalog) -> None:
    """A supply between two lines is two sources of half its voltage, opposed."""
    job = replace(
        MALT, hoist=HoistFacts("capacitor-motor-direct-240-two-line"), cores=(), connections=(), devices=(),
        supply=Supply("1ph L-L", parse("236 V", "voltage"), parse("60 Hz", "frequency")),
    )  # fmt: skip
    sources = [part for part in build_before(job, catalog).parts if part.kind == "source"]
    assert [source.values["voltage"].si for source in sources] == [118, 118]
    assert abs(sources[0].values["phase"].si - sources[1].values["phase"].si) == 180


def test_battery(catalog: Catalog) -> None:
    """A battery has its voltage and no frequency, whatever the job says about hertz."""
    job = replace(
        MALT, hoist=HoistFacts("winch-permanent-magnet-12"), cores=(), connections=(), devices=(),
        supply=Supply("dc", parse("12.6 V", "voltage"), parse("50 Hz", "frequency")),
    )  # fmt: skip
    source = next(part for part in build_before(job, catalog).parts if part.kind == "source")
    assert (source.values["voltage"].si, source.values["frequency"].si) == (12.6, 0)


def test_stated_value_replaces(catalog: Catalog) -> None:
    """A stated value takes the place of the placeholder it names, on a part and on a nameplate."""
    rows = (
        StatedValue("hoist:T1.power", parse("100 VA", "apparent power"), "plate"),
        StatedValue("hoist:motor.full_load_current", parse("3.2 A", "current"), "plate"),
        StatedValue("K0.sealed", parse("9 VA", "apparent power"), "data sheet"),
        StatedValue("receiver:supply.power", parse("8 VA", "apparent power"), "data sheet"),
        StatedValue("hoist:nothing.power", parse("1 W", "power"), None),
    )
    circuit = build_after(replace(GANTRY, values=rows), catalog)
    power = circuit.part("hoist:T1").values["power"]
    assert (power.si, power.unit, power.basis, power.source, power.low) == (100, "VA", "stated", "plate", 100)
    assert circuit.motors[0].values["full_load_current"].si == 3.2
    assert circuit.part("K0").values["sealed"].si == 9
    assert circuit.part("receiver:supply").values["power"].si == 8


def test_a_stated_value_that_was_missing(catalog: Catalog) -> None:
    """A property that the entry leaves out can be stated, with its unit."""
    row = StatedValue("hoist:F4.resistance", parse("0.1 ohm", "resistance"), "measured")
    value = build_before(replace(GANTRY, values=(row,)), catalog).part("hoist:F4").values["resistance"]
    assert (value.si, value.unit) == (0.1, "ohm")


def test_value_addresses(catalog: Catalog) -> None:
    """Every value carries the address at which a job can state it."""
    circuit = build_after(MALT, catalog)
    for part in circuit.parts:
        for key, value in part.values.items():
            assert value.id == f"{part.name}.{key}"
    assert circuit.motors[0].values["power"].id == "hoist:motor.power"


def test_conductor_resistance_from_the_tables(catalog: Catalog) -> None:
    """A conductor has the resistance of its size and length, hot copper at the high end."""
    value = conductor_resistance("W1:1", AWG_16, parse("100 ft", "length"), catalog)["resistance"]
    assert value.si == pytest.approx(0.499, rel=1e-3)
    assert value.low == pytest.approx(0.4015, rel=1e-3) and value.high == value.si
    metric = WireSize("mm2", "1.5", 1.5e-6, "1.5 mm2")
    flexible = conductor_resistance("W1:1", metric, parse("100 m", "length"), catalog)["resistance"]
    assert flexible.low == pytest.approx(1.33) and flexible.si == pytest.approx(1.33 * (1 + 0.00393 * 55))


def test_size_that_no_table_has(catalog: Catalog) -> None:
    """A size outside the tables is worked out from its area."""
    odd = WireSize("mm2", "1.7", 1.7e-6, "1.7 mm2")
    value = conductor_resistance("W1:1", odd, parse("100 m", "length"), catalog)["resistance"]
    assert value.si == pytest.approx(1.7241e-8 * 100 / 1.7e-6)


def test_unknown_size_or_length_gives_no_resistance(catalog: Catalog) -> None:
    """Without size or length the resistance is not known, and no small one is put in its place."""
    assert not conductor_resistance("W1:1", None, parse("1 m", "length"), catalog)
    assert not conductor_resistance("W1:1", AWG_16, None, catalog)
    job = replace(GANTRY, cables=(replace(GANTRY.cables[0], length=None),))
    assert "resistance" not in build_after(job, catalog).part("W1:1").values


def test_small_resistances_inside_boxes(catalog: Catalog) -> None:
    """Wires inside a box and closed contacts get the model's small resistance, a type alone gets none."""
    circuit = build_before(GANTRY, catalog)
    assert circuit.part("hoist:W1").values["resistance"].si == pytest.approx(0.004)
    assert (
        circuit.part("hoist:K1.1-2").values["resistance"].si
        < circuit.part("hoist:LSU").values["resistance"].si
    )
    assert "resistance" not in build_type(catalog.hoists["reversing-contactors-24"]).part("hoist:W1").values
