"""What a receiver's outputs close, seen from its terminals."""

from __future__ import annotations

from dataclasses import replace

from tests.planner.made import CATALOG, boxed, contact
from wiring.model.entry import EntryPart, EntryWire
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


def test_a_pole_lies_between_the_screws_of_its_own_contact() -> None:
    """The resting contact of another output on the same common is no part of what an output closes."""
    made = boxed(contact("A", "COM A1"), contact("B", "COM B1"), contact("B", "COM B2", "NC"))
    assert set(poles(made)) == {
        Pole(("A",), "NO", "COM", "A1"), Pole(("B",), "NO", "COM", "B1"), Pole(("B",), "NC", "COM", "B2"),
    }  # fmt: skip


def test_one_electronic_contact_in_a_path_makes_it_electronic() -> None:
    """A triac behind a relay leaks like a triac alone; the relay of the other output stays a relay."""
    made = boxed(
        contact("A", "L j"), contact("A", "j A1", kind="semiconductor"), contact("B", "L B1")
    )
    found = {(p.outputs[0], p.a, p.b): p.solid for p in poles(made)}
    assert found == {("A", "L", "A1"): True, ("B", "L", "B1"): False}


def test_a_wire_inside_the_receiver_makes_two_screws_one() -> None:
    """Two screws that copper joins for good are one place to land."""
    made = boxed(contact("A", "COM A1"), wires=(EntryWire("W1", ("COM", "COM2")),), outputs="A")
    assert bars(made)["COM2"] == bars(made)["COM"] == "COM"


def test_contacts_behind_a_sealed_junction_belong_to_the_pole() -> None:
    """Only contacts on that junction are looked at: another output's on the same common is not part."""
    made = boxed(
        contact("A", "L j"), contact("A", "j A1"), contact("B", "L B1"), contact("B", "L B2", "NC")
    )  # fmt: skip
    assert {(p.a, p.b) for p in poles(made) if p.outputs == ("A",)} == {("L", "A1")}


def test_stop_outputs_that_lie_apart_are_each_offered() -> None:
    """Two stop contacts without a screw in common have no way through both: each lies on its own pair."""
    made = boxed(contact("A", "P1 Q1"), contact("B", "P2 Q2"))
    stops = replace(made, outputs=tuple(replace(o, key="stop") for o in made.outputs))
    found = {(p.outputs, p.a, p.b) for p in poles(stops)}
    assert found == {(("A", "B"), "P1", "Q1"), (("A", "B"), "P2", "Q2")}
    one = boxed(contact("A", "P1 Q1"), outputs="A")
    one = replace(one, outputs=(replace(one.outputs[0], key="stop"),))
    assert [(p.outputs, p.a, p.b) for p in poles(one)] == [(("A",), "P1", "Q1")]


def test_copper_inside_joins_and_a_jumper_only_while_it_is_in() -> None:
    """A plain wire always makes its ends one bar, a jumper where it is fitted."""
    kinds = {("", False): True, ("", True): True, ("jumper", True): True, ("jumper", False): False}
    for (role, fitted), same in kinds.items():
        made = boxed(contact("A", "COM A1"), EntryPart("w", "wire", ("COM", "X"), role=role, fitted=fitted))
        assert (bars(made)["X"] == bars(made)["COM"]) is same
