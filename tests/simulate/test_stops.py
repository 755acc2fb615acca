"""The stop matrix: what still ends each motion after one fault."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from tests.simulate.truthjobs import CATALOG, circuits, stop_in_motion_common, two_channel
from wiring.circuit import build_type
from wiring.model.behaviour import StopRow
from wiring.model.value import certain
from wiring.simulate.fault_run import Inspector, fault_analysis, single_faults
from wiring.simulate.faults import FaultSet
from wiring.simulate.faults_sights import NO_STOP
from wiring.simulate.network import Network
from wiring.simulate.stops import stop_matrix


@cache
def matrix(text: str) -> dict[tuple[str, tuple[str, ...]], StopRow]:
    before, after = (Network(c) for c in circuits(text))
    return {(r.motion, r.fault): r for r in stop_matrix(before, after, single_faults(before, after))}


def test_without_a_fault_everything_ends_the_motion() -> None:
    """The first row of each motion has no fault, and every column ends the motion."""
    rows = matrix(two_channel("momentary"))
    for motion in ("hoist up", "hoist down"):
        row = rows[motion, ()]
        assert all(row.before.values()) and all(row.after.values())
    columns = set(rows["hoist up", ()].after)
    assert columns == {"release", "link", "limit:up", "stop:S1", "stop:Q1", "stop:plug"}


def test_columns_stand_best_rank_first() -> None:
    """Stops follow release, link and limit, the one at the operator's hand first."""
    row = matrix(two_channel("momentary"))["hoist up", ()]
    assert list(row.after)[:4] == ["release", "link", "limit:up", "stop:S1"]


def test_weld_row_shows_what_is_left() -> None:
    """A welded contactor behind a stop in the motion common leaves the isolator alone."""
    row = matrix(stop_in_motion_common())["hoist up", ("hoist:K1 stuck-in",)]
    assert row.after == {
        "release": False, "link": False, "limit:up": False, "key:stop": False, "stop:Q1": True,
    }  # fmt: skip
    assert row.judged == "same"


def test_a_part_of_one_side_has_cells_on_that_side_alone() -> None:
    """A receiver relay has no row with the pendant; its judgement says whether the floor is met."""
    row = matrix(two_channel("momentary"))["hoist up", ("receiver:CH1 stuck-closed",)]
    assert row.before == {}
    assert row.after["stop:S1"] is True
    assert row.judged == "same, floor met"


def test_rows_without_effect_are_left_out() -> None:
    """A fault that leaves every way of stopping has no row."""
    rows = matrix(two_channel("momentary"))
    assert ("hoist up", ("receiver:CH2 stuck-closed",)) not in rows


def test_every_motion_of_the_crane_has_its_row() -> None:
    """Each motion that a key commands stands in the matrix, both speeds of the hoist too."""
    network = Network(build_type(CATALOG.hoists["two-speed-crane-115"]))
    motions = {row.motion for row in stop_matrix(network, network)}
    assert motions == {
        "hoist up slow", "hoist up fast", "hoist down slow", "hoist down fast",
        "trolley left", "trolley right", "bridge forward", "bridge back",
    }  # fmt: skip


def test_fault_analysis_gives_faults_and_matrix() -> None:
    """The door of the fault analysis returns both, and progress runs to the end."""
    network = Network(build_type(CATALOG.hoists["capacitor-motor-direct-230"]))
    told: list[tuple[int, int]] = []
    faults, rows = fault_analysis(network, network, "single", lambda done, total: told.append((done, total)))
    assert faults.kind == "single" and faults.count == len(faults.results)
    assert rows and told[-1][0] == told[-1][1]


def test_a_stop_that_cannot_break_the_motor_current_does_not_count() -> None:
    """An isolator known to break less than the locked rotor takes is no stop for a welded contactor."""
    hoist = build_type(CATALOG.hoists["reversing-contactors-24"])

    def left(breaking: float) -> tuple[str, ...]:
        value = certain("test", breaking, "A", "stated", "test")
        parts = tuple(
            replace(p, values={**p.values, "breaking": value}) if p.by == "stop:Q1" else p
            for p in hoist.parts
        )
        weld = FaultSet(("hoist:K1 stuck-in",), "power contact")
        (row,) = Inspector(Network(replace(hoist, parts=parts)), (weld,)).run()
        return next(one.stops for one in row[1] if one.hazard == NO_STOP)

    assert left(25.0) == ("stop:Q1",)
    assert left(10.0) == ()
