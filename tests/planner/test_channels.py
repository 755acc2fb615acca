"""What a receiver's outputs close, seen from its terminals."""

from __future__ import annotations

from tests.planner.made import CATALOG
from wiring.planner.channels import Pole, bars, poles


def closes(receiver: str, form: str = "NO") -> set[tuple[tuple[str, ...], str, str]]:
    return {(p.outputs, p.a, p.b) for p in poles(CATALOG.receivers[receiver]) if p.form == form}


def test_a_changeover_closes_one_side_and_opens_the_other() -> None:
    """Each channel of a dry receiver closes COM to NO and opens COM to NC, and nothing else."""
    assert closes("two-channel-dry") == {(("CH1",), "COM1", "NO1"), (("CH2",), "COM2", "NO2")}
    assert closes("two-channel-dry", "NC") == {(("CH1",), "COM1", "NC1"), (("CH2",), "COM2", "NC2")}


def test_a_direction_relay_behind_a_run_relay_gives_one_pole_for_each_key() -> None:
    """The reversing receiver puts its line on UP for one key and on DOWN for the other."""
    assert closes("reversing-relay") == {(("KEY_UP",), "L", "UP"), (("KEY_DOWN",), "L", "DOWN")}


def test_stop_relays_in_series_are_used_together_only() -> None:
    """The stop outputs are offered from end to end, both in series, and never one without the other."""
    bar = bars(CATALOG.receivers["six-channel-stop-pair"])
    stops = {one for one in closes("six-channel-stop-pair") if any(id.startswith("STOP") for id in one[0])}
    assert stops == {(("STOP1", "STOP2"), "3", bar["5"])}


def test_a_jumper_joins_bars_until_it_is_taken_out() -> None:
    """The factory bridge makes two commons one bar; without it they are two."""
    receiver = CATALOG.receivers["eight-channel-two-speed"]
    assert bars(receiver)["COMA"] == bars(receiver)["COMB"]
    assert bars(receiver, ("JAB",))["COMA"] != bars(receiver, ("JAB",))["COMB"]


def test_electronic_outputs_are_marked() -> None:
    """A triac is no contact: its poles are solid, a relay's are not."""
    solid = poles(CATALOG.receivers["two-channel-solid-state"])
    assert solid == (Pole(("CH1",), "NO", "L", "A1", True), Pole(("CH2",), "NO", "L", "A2", True))
    assert not any(p.solid for p in poles(CATALOG.receivers["two-channel-dry"]))
