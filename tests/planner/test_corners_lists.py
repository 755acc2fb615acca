"""Corners of the planner's lists: edits between jobs, orders of conductors, words and wants."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.made import CATALOG, job_of
from wiring.files import AddEntry, RemoveEntry, SetKey, parse
from wiring.model.finding import Finding, Verdict
from wiring.model.job import AddedDevice, Connection, JumperSetting, Remove, StatedValue
from wiring.planner.demand import Contact, Demand, Gap, behind, rest_contacts_closed
from wiring.planner.difference import edits_between, paired
from wiring.planner.fit import _worse, needs, open_points, reasons, why_so, with_receiver
from wiring.planner.mapping import Search, named_for
from wiring.planner.order import apart, better_orders, free_order, shorts_of
from wiring.planner.propose import failing, still_there
from wiring.planner.supply import alike, feeds

JOB = job_of("reversing-contactors-24", "two-channel-dry")


def row(from_: str, to: str, conductor: str | None = None, number: str | None = None) -> Connection:
    return Connection(from_, to, conductor, number)


def finding(rule: str, subject: str, verdict: Verdict = Verdict.FAIL, about: Any = "after") -> Finding:
    return Finding(rule, subject, about, verdict, "design", 1, "found", "wanted")


# -- edits ----------------------------------------------------------------------------------------


def test_a_row_is_changed_where_it_shares_an_end() -> None:
    """One end in common is enough to be the same row; a wire number in common is not."""
    old = [row("a", "b", "W1:1", "5"), row("c", "d", "W1:2", "6")]
    assert paired(old, [0, 1], [row("a", "x", "W2:1", "9")]) == [(0, row("a", "x", "W2:1", "9"))]
    assert paired(old, [0, 1], [row("x", "d", "W2:1", "9")]) == [(1, row("x", "d", "W2:1", "9"))]
    assert paired(old, [0, 1], [row("x", "y", "W1:2", "9")]) == [(1, row("x", "y", "W1:2", "9"))]
    assert paired(old, [0, 1], [row("x", "y", None, "5")]) == []
    assert paired([row("a", "b")], [0], [row("x", "y")]) == [], "no number on either is one in common only"


def test_the_most_alike_row_is_taken_over() -> None:
    """Of two old rows the one with conductor and number in common is taken, and each row once only."""
    old = [row("a", "b", "W1:1", "5"), row("a", "c", "W1:2", "6")]
    new = [row("a", "x", "W1:2", "6"), row("a", "y", "W1:1", "7")]
    assert paired(old, [0, 1], new) == [(1, new[0]), (0, new[1])]
    assert paired(old, [0, 1], new[:1]) == [(1, new[0])]
    twin = [row("a", "b"), row("a", "b")]
    assert paired(twin, [0, 1], [row("a", "c"), row("a", "d")]) == [(0, row("a", "c")), (1, row("a", "d"))]


def test_connections_become_the_fewest_edits() -> None:
    """A moved end is one key set, a row gone is removed by its place, a new one comes at the end."""
    old = replace(JOB, connections=(row("a", "b"), row("c", "d"), row("e", "f")))
    new = replace(JOB, connections=(row("a", "b"), row("c", "x"), row("p", "q")))
    assert edits_between(old, new) == (
        SetKey("connection.1.to", "x"),
        RemoveEntry("connection.2"),
        AddEntry("connection", row("p", "q")),
    )
    assert edits_between(old, old) == ()


def test_the_start_of_a_row_is_called_from_in_the_file() -> None:
    """A row whose first end moves has its key `from` set; a number that became unknown is taken out."""
    old = replace(JOB, connections=(row("a", "b", None, "7"),))
    new = replace(JOB, connections=(row("x", "b", None, None),))
    assert edits_between(old, new) == (SetKey("connection.0.from", "x"), RemoveEntry("connection.0.number"))


def test_entries_are_removed_from_the_end() -> None:
    """Of several entries that go the last goes first, so that the places of the others stay true."""
    one, two, three = (AddedDevice(f"K{n}", "contactor-pair-24") for n in (1, 2, 3))
    old, new = replace(JOB, devices=(one, two, three)), replace(JOB, devices=(two,))
    assert edits_between(old, new) == (RemoveEntry("device.2"), RemoveEntry("device.0"))
    assert edits_between(new, old) == (AddEntry("device", one), AddEntry("device", three))
    plain = replace(JOB, removes=(Remove("X1-1"), Remove("X1-2")))
    assert edits_between(plain, replace(JOB, removes=(Remove("X1-2"), Remove("X1-3")))) == (
        RemoveEntry("remove.0"), AddEntry("remove", Remove("X1-3")),
    )  # fmt: skip


def test_outputs_of_the_receiver_are_found_by_their_ids() -> None:
    """A changed mode is one key, a new jumper one entry; what became unknown on loss is a key gone."""
    outputs = JOB.receiver.outputs
    changed = (outputs[0], replace(outputs[1], mode="toggle"))
    facts = replace(JOB.receiver, outputs=changed, jumpers=(JumperSetting("J1", False),), on_signal_loss=None)
    assert edits_between(JOB, replace(JOB, receiver=facts)) == (
        SetKey("receiver.output.1.mode", "toggle"),
        RemoveEntry("receiver.on_signal_loss"),
        AddEntry("receiver.jumper", JumperSetting("J1", False)),
    )


# -- orders ---------------------------------------------------------------------------------------


def test_nothing_hot_needs_no_wall() -> None:
    """Without a hot conductor nothing is moved; with two, both come first in the given order."""
    assert apart(["2", "1", "PE"], (), {"PE"}) == ("2", "1", "PE")
    assert apart(["2", "1", "PE", "3"], {"1", "2"}, {"PE"}) == ("2", "1", "PE", "3")


def test_the_given_order_is_kept_as_far_as_it_goes() -> None:
    """Of all orders without harm the one that begins like the given one is taken."""
    assert free_order(["a", "b", "c"], {frozenset(("a", "b"))}) == ("a", "c", "b")
    assert free_order(["a", "b", "c"], {frozenset(("b", "c"))}) == ("b", "a", "c")
    assert free_order(["a", "b", "c", "d"], {frozenset(("c", "d"))}) == ("a", "c", "b", "d")


def test_only_a_cord_that_stays_is_laid_otherwise() -> None:
    """The cores of a removed cord are not in any order; those of a kept one, or of its tail, are."""
    pair = [("core:1", "core:2")]
    for fate, count in (("removed", 0), ("kept", 1), ("tail-kept", 1)):
        job = replace(JOB, cord=replace(JOB.cord, fate=fate))
        assert len(better_orders(job, pair)) == count


def test_pairs_are_read_from_the_findings_about_shorts() -> None:
    """Both ways to write a pair are read; other rules and lone subjects are no pair."""
    found = shorts_of([
        finding("proof.core-short", "core:1 + core:2"),
        finding("proof.core-short", "short W1:1 W1:2"),
        finding("proof.core-short", "core:1"),
        finding("proof.core-break", "core:1 + core:3"),
    ])  # fmt: skip
    assert found == [("core:1", "core:2"), ("W1:1", "W1:2")]


# -- words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("output", "button", "score"),
    [
        ("UP", "up", 1.0), ("UP", "down", -1.0), ("DOWN", "down", 1.0), ("DOWN", "up", -1.0),
        ("LEFT", "left", 1.0), ("RIGHT", "right", 1.0), ("BACK", "back", 1.0), ("IN", "in", 1.0),
        ("OUT", "out", 1.0), ("CH1", "up", 0.0), ("UP FAST", "up.2", 1.0),
        ("UP_FAST", "up", -1.0), ("up-fast", "up.2", 1.0), ("UP", "up.2", -1.0), ("STOP1", "up", 0.0),
        ("BRIDGE FORWARD", "forward", 1.0), ("OUT", "in", -1.0),
    ],
)  # fmt: skip
def test_an_output_is_known_by_its_name(output: str, button: str, score: float) -> None:
    """The name of an output says its direction and step, another one, or nothing."""
    assert named_for(output, button) == score


def test_an_output_follows_one_key() -> None:
    """An output with a key from the factory follows that one; a free one any but STOP, and one at a time."""
    searching = Search((), (), {"STOP1": "stop", "U": "up"})

    def free(output: str, button: str, keys: dict[str, str]) -> bool:
        return searching._key_free(SimpleNamespace(outputs=(output,)), button, keys)  # type: ignore[arg-type]

    assert free("STOP1", "stop", {}) and not free("STOP1", "up", {})
    assert free("U", "up", {}) and not free("U", "down", {})
    assert free("CH1", "up", {}) and not free("CH1", "stop", {})
    assert free("CH1", "up", {"CH1": "up"}) and not free("CH1", "down", {"CH1": "up"})


def test_a_stop_stays_with_its_device() -> None:
    """Stops of hoist, plug, pendant and receiver stay; one of a device only where that is still there."""
    for device in (None, "hoist:Q1", "plug:L", "pendant:ES", "receiver:STOP1", "S1", "S1.a:1"):
        assert still_there(device, {"S1"})
    assert not still_there("S2", {"S1"}) and not still_there("S2:1", set())


def test_reasons_are_said_once_for_all_drives() -> None:
    """Two drives refused for one reason share it; a reason without a drive stands alone."""
    lines = (
        "direct: no contact is left",
        "relays: no contact is left",
        "pair: the voltage is wrong",
        "no core",
    )
    assert reasons(lines) == ("direct, relays: no contact is left; pair: the voltage is wrong; no core")
    assert reasons(()) == ""


def offered(drive: str = "direct", **more: Any) -> Any:
    """A proposal of which only this is known."""
    known: dict[str, Any] = {
        "drive": drive,
        "plan": None,
        "devices": (),
        "removes": (),
        "receiver": None,
        "open": (),
    }
    return SimpleNamespace(**{**known, **more})


def test_a_drive_is_explained_by_what_is_against_the_simpler_one() -> None:
    """Relays are explained by what the contacts alone cannot do; direct by taking the handset's places."""
    refused = ("direct: it stands under current", "pair: no")
    assert why_so(offered("relays"), refused) == "through relays, because direct: it stands under current"
    assert why_so(offered("relays"), ("pair: no",)).startswith("through relays; every motion")
    assert why_so(offered("direct"), refused).startswith("its contacts take the places")


def test_what_is_needed_is_counted() -> None:
    """Two new devices of one title are two times it; what the job has, or has taken off, is not named."""
    title = CATALOG.devices["contactor-pair-24"].title
    new = tuple(AddedDevice(n, "contactor-pair-24") for n in ("K1", "K2", "K3"))
    job = replace(JOB, devices=new[:1], removes=(Remove("a"),))
    assert needs(offered(devices=new), job, CATALOG) == (f"2 x {title}",)
    assert needs(offered(devices=new[:2]), job, CATALOG) == (title,)
    assert needs(offered(removes=(Remove("a"), Remove("b"))), job, CATALOG) == ("take off b",)
    facts = SimpleNamespace(jumpers=(JumperSetting("J1", False), JumperSetting("J2", True)))
    assert needs(offered(receiver=facts), job, CATALOG) == ("take out jumper J1",)


def planned(*found: Finding) -> Any:
    return SimpleNamespace(report=SimpleNamespace(findings=found))


def test_three_unknowns_are_named_and_the_rest_counted() -> None:
    """Unknowns about the receiver come first, three at most; from four on their number is said."""
    about = [finding("contact.rating", f"K{n}", Verdict.UNKNOWN) for n in range(4)]
    other = finding("stop.distance", "S", Verdict.UNKNOWN)
    before = finding("contact.rating", "old", Verdict.UNKNOWN, "before")
    assert open_points(offered(open=("decide",))) == ("decide",)
    lines = open_points(offered(open=("decide",), plan=planned(other, before, *about)))
    assert lines[0] == "decide" and [x.split(":")[0] for x in lines[1:4]] == [
        "contact.rating K0", "contact.rating K1", "contact.rating K2",
    ]  # fmt: skip
    assert lines[4:] == ("5 findings are unknown in all",)
    assert open_points(offered(plan=planned(other))) == ("stop.distance S: found",)
    assert len(open_points(offered(plan=planned(*about[:3])))) == 3


def test_only_fails_of_the_conversion_count() -> None:
    """A fail of the hoist as found and an unknown count for nothing; the receiver's own fails come first."""
    mine, helped = finding("contact.rating", "K"), finding("contact.minimum-load", "K")
    stop, unknown = finding("stop.distance", "S"), finding("contact.rating", "X", Verdict.UNKNOWN)
    found = planned(mine, helped, stop, unknown, finding("contact.rating", "old", about="before"))
    assert failing(found) == [mine, helped, stop]
    assert _worse(offered(plan=found)) == (1, 3) and _worse(offered()) == (0, 0)


# -- wants ----------------------------------------------------------------------------------------


def test_a_contact_at_rest_becomes_the_other_keys_contact() -> None:
    """Closed while down is not pressed is closed by up, unless up has a contact on that net already."""
    up, rest = Contact("up", "NO", "L", "A"), Contact("down", "NC", "L", "B", 4.0)
    down = Contact("down", "NO", "L", "D")
    assert rest_contacts_closed((up, down, rest)) == (up, down, Contact("up", "NO", "L", "B", 4.0))
    own = Contact("up", "NO", "B", "L")
    assert rest_contacts_closed((own, down, rest)) == (own, down)


def test_what_hung_behind_the_stop_hangs_behind_the_new_one() -> None:
    """Only the supply side of contacts on the stop's first net moves."""
    hoist = CATALOG.hoists["reversing-contactors-24"]
    wants = (Contact("up", "NO", "feed", "up"), Contact("down", "NO", "g", "down"))
    demand = Demand(hoist, {}, wants, (), (), False)
    moved = behind(demand, Gap("ES", "feed", "g"), "coils").wants
    assert [(w.a, w.b) for w in moved] == [("coils", "up"), ("g", "down")]
    assert (wants[0].other("feed"), wants[0].other("up")) == ("up", "feed")


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [(115, 120, True), (107, 120, True), (105, 120, False), (134, 120, True), (136, 120, False)],
)
def test_voltages_of_one_class(one: float, other: float, same: bool) -> None:
    """Twelve parts in a hundred apart is one class, more is another."""
    assert alike(one, other) is same


def test_a_receiver_is_fed_inside_its_range_only() -> None:
    """From its least to its most volts and two parts in a hundred above, of its own kind of current."""
    receiver = CATALOG.receivers["two-channel-dry"]
    part = next(p for p in receiver.net.parts if p.kind == "supply-input")
    low, high = part.values["minimum"].si, part.values["maximum"].si
    kind = "AC" if receiver.supply_kind == "either" else receiver.supply_kind
    assert all(feeds(receiver, v, kind) for v in (low, (low + high) / 2, high, high * 1.019))
    assert not any(feeds(receiver, v, kind) for v in (low * 0.999, high * 1.021, 0.0))
    only = replace(receiver, supply_kind="DC")
    assert feeds(only, low, "DC") and not feeds(only, low, "AC")
    assert not feeds(replace(receiver, net=replace(receiver.net, parts=())), low, kind)


def test_another_receiver_comes_fresh_from_its_box() -> None:
    """Connections, values and outputs of the old receiver go, the rest stays; the same one is kept."""
    rows = (row("receiver:COM1", "core:1"), row("core:2", "receiver:NO1"), row("core:3", "hoist:X1.3"))
    job = replace(JOB, connections=rows)
    assert with_receiver(job, "two-channel-dry", CATALOG.receivers["two-channel-dry"]) is job
    other = CATALOG.receivers["six-channel-stop-pair"]
    made = with_receiver(job, "six-channel-stop-pair", other)
    assert made.connections == rows[2:] and made.receiver.type == "six-channel-stop-pair"
    assert [o.id for o in made.receiver.outputs] == [o.id for o in other.outputs]
    assert {o.mode for o in made.receiver.outputs} == {"momentary" if "momentary" in other.modes else None}


def test_values_stated_of_the_old_receiver_are_not_the_new_ones() -> None:
    """Its supply range and its leakage go with it; what is stated of the hoist stays."""
    amount = parse("24 V", "voltage")
    stated = tuple(
        StatedValue(of, amount) for of in ("receiver:supply.maximum", "receiver.leakage", "hoist:K1.voltage")
    )
    other = CATALOG.receivers["six-channel-stop-pair"]
    made = with_receiver(replace(JOB, values=stated), "six-channel-stop-pair", other)
    assert [v.of for v in made.values] == ["hoist:K1.voltage"]
    either = replace(other, step_two="either")
    assert with_receiver(JOB, "six-channel-stop-pair", either).receiver.step_two == "cumulative"


def test_an_end_counts_as_much_as_a_conductor() -> None:
    """Of two old rows the one with its number in common as well is taken over; the first where neither is."""
    end, conductor = row("a", "b", "W1:1", "5"), row("c", "d", "W1:2", "6")
    new = row("a", "x", "W1:2", "6")
    assert paired([end, conductor], [0, 1], [new]) == [(1, new)]
    other = row("x", "d", "W1:1", "5")
    assert paired([end, conductor], [0, 1], [other]) == [(0, other)]
    plain = row("a", "x", "W1:2", "9")
    assert paired([end, conductor], [0, 1], [plain]) == [(0, plain)]
    assert paired([conductor, end], [0, 1], [plain]) == [(0, plain)]
