"""The speed campaign's own code on small numbers: it counts right and draws a plot. No times are judged."""

from __future__ import annotations

from xml.etree import ElementTree

from tests.campaign.speed import beside, cost, lanes_of, plot, singles
from tests.simulate.truthjobs import circuits, two_channel
from wiring.simulate.network import Network


def test_singles_count_every_settling() -> None:
    """Settlings are fault sets times lanes times the five runs; equal fault sets are run once."""
    after = circuits(two_channel("momentary"))[1]
    found = singles(after)
    lanes = len(lanes_of(Network(after)))
    assert found["settlings"] == found["fault sets"] * lanes * 5
    assert 0 < found["fault sets that differ"] < found["fault sets"]


def test_ratio_is_of_one_task() -> None:
    """A solver of half the engine's rate is twice as slow."""
    row = beside({"settlings": 1000.0, "seconds": 1.0}, 500.0)
    assert row["times slower than the engine"] == 2


def test_plot_is_an_svg_with_a_dot_for_each_hoist() -> None:
    """The plot of two hoists is well formed and has a dot for each in each of its three panels."""
    points = [cost("capacitor-motor-direct-230"), cost("reversing-contactors-24")]
    dots = ElementTree.fromstring(plot(points)).iter("{http://www.w3.org/2000/svg}circle")
    assert len(list(dots)) == 6
