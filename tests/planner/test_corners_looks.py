"""Corners of the two looks at a wiring: how odd its list is, and what a few hundred states show."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pytest

from tests.simulate.circuits import contactor_hoist, part, receiver_hoist
from wiring.model.circuit import Circuit, Limit, Output, Part, Point, Removed, Stop
from wiring.model.job import Connection
from wiring.model.value import certain
from wiring.planner.oddness import BARE, CROWD, EARTH, HALF, NUMBERS, Look, freed
from wiring.planner.propose import motor_on_contacts
from wiring.planner.site import NoWay
from wiring.planner.trial import Trial, listed

# -- how odd a list looks -------------------------------------------------------------------------


def contact(name: str, pins: str, form: str = "NO") -> Part:
    return replace(
        part(f"receiver:{name}", "contact", pins, f"output:receiver:{name}", form), owner="receiver"
    )


def boxed() -> Circuit:
    """A receiver with two contacts and a protective terminal; a wire of the hoist is taken off."""
    parts = (
        contact("UP", "receiver:COM receiver:NO"),
        contact("UP.nc", "receiver:C2 receiver:NC", "NC"),
        part("F", "fuse", "hoist:1 hoist:2", rating=2),
    )
    names = (
        "receiver:COM",
        "receiver:NO",
        "receiver:NC",
        "receiver:PE",
        "hoist:1",
        "hoist:2",
        "hoist:PE",
        "core:1",
    )
    points = tuple(Point(n, n.partition(":")[0], True, "receiver") for n in names)
    gone = (Removed("hoist:W1", ("hoist:1", "hoist:2")), Removed("core:9", ("core:9",)))
    return Circuit("after", points, parts, (), removed=gone, earth="PE")


JOB = SimpleNamespace(
    devices=(), cables=(SimpleNamespace(id="W1", order=("1", "2")),),
    cores=(SimpleNamespace(id="1", role="up"), SimpleNamespace(id="8", role="spare"),
           SimpleNamespace(id="7", role=None)),
)  # fmt: skip


def row(from_: str, to: str, conductor: str | None = None, number: str | None = None) -> Connection:
    return Connection(from_, to, conductor, number)


GOOD = (
    row("core:1", "receiver:NO", "W1:1", "1"),
    row("hoist:1", "receiver:COM", "W1:2", "2"),
    row("hoist:2", "x", None, "3"),
    row("receiver:PE", "hoist:PE", None, "4"),
)


def odd(*rows: Connection) -> int:
    return Look(JOB, boxed()).oddness(rows)  # type: ignore[arg-type]


def test_a_tidy_list_is_not_odd() -> None:
    """Both ends of the contact, the core, the earth, the freed screws and both conductors are landed."""
    assert odd(*GOOD) == 0 and freed(boxed()) == ["hoist:1", "hoist:2"]
    assert not Look(JOB, boxed()).mixed(GOOD)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rows", "figure"),
    [
        # nothing lies anywhere: one core, one earth terminal, two freed screws, two conductors
        ((), 6 * BARE),
        (GOOD[1:], HALF + 2 * BARE),
        (GOOD[:3], BARE),
        ((*GOOD[:2], GOOD[3]), BARE),
        ((*GOOD, row("y", "z", None, "1")), NUMBERS),
        ((*GOOD, row("core:1", "z", None, "9")), NUMBERS),
        ((*GOOD, row("core:1", "z"), row("core:1", "v")), CROWD),
        ((*GOOD, row("core:1", "z"), row("core:1", "v"), row("core:1", "w")), 2 * CROWD),
        ((*GOOD, row("hoist:1", "z"), row("hoist:1", "v"), row("hoist:1", "w")), 0),
        ((*GOOD, row("receiver:NC", "z")), CROWD),
        ((*GOOD, row("receiver:PE", "z")), EARTH),
    ],
    ids=["empty", "half a contact", "no earth", "a freed screw", "one number twice", "two numbers",
         "three under a screw", "four under a screw", "hoist screws take more", "resting", "earth"],
)  # fmt: skip
def test_each_oddity_has_its_weight(rows: tuple[Connection, ...], figure: int) -> None:
    """What is missing, crowded or numbered twice weighs what its table says, and nothing else."""
    assert odd(*rows) == figure


def test_a_wire_put_back_by_other_wires_is_odd() -> None:
    """Two screws that a wire was taken off to part are one again: that undoes the change."""
    assert odd(*GOOD[:2], row("hoist:2", "hoist:1", None, "2"), GOOD[3]) == NUMBERS


def test_an_earth_that_meets_something_else_is_odd() -> None:
    """A core on the protective terminal is counted once for its place, whatever else lies there."""
    look = Look(JOB, boxed())  # type: ignore[arg-type]
    rows = (*GOOD, row("receiver:PE", "core:1"))
    assert look.mixed(rows) == 1 and odd(*rows) == EARTH + NUMBERS
    assert look.mixed((*rows, row("core:1", "q"))) == 1


def test_a_transformer_is_looked_at_winding_by_winding() -> None:
    """A winding with one end landed is half; two whole windings, or one whole and one bare, are not."""
    made = boxed()
    pins = tuple(f"receiver:{n}" for n in ("P1", "P2", "S1", "S2"))
    more = replace(part("T", "transformer", " ".join(pins)), owner="receiver")
    free = replace(part("X", "contact", "hoist:8 hoist:9"), owner="hoist")
    points = (*made.points, *(Point(n, "receiver", True, "receiver") for n in (*pins, "hoist:8", "hoist:9")))
    look = Look(JOB, replace(made, parts=(*made.parts, more, free), points=points))  # type: ignore[arg-type]
    landed = [row(pin, f"y{n}") for n, pin in enumerate(pins)]
    assert look.oddness((*GOOD, *landed)) == look.oddness((*GOOD, *landed[:2])) == 0
    assert look.oddness((*GOOD, landed[0])) == look.oddness((*GOOD, landed[3])) == HALF
    assert look.oddness((*GOOD, landed[0], landed[2])) == 2 * HALF
    assert look.oddness((*GOOD, row("hoist:8", "v"))) == 0, "a contact of the hoist was there before"


def extended(screws: str, *more: Part, **keys: str) -> Look:
    """The receiver and a device K1 with further screws and contacts; keys: what the outputs follow."""
    made = boxed()
    points = (*made.points, *(Point(n, n.partition(":")[0], True, "receiver") for n in screws.split()))
    outputs = tuple(
        Output(f"receiver:{name}", key, "momentary", name, None, None, None) for name, key in keys.items()
    )
    job: Any = SimpleNamespace(**{**vars(JOB), "devices": (SimpleNamespace(id="K1"),)})
    return Look(job, replace(made, parts=(*made.parts, *more), points=points, outputs=outputs))


def test_contacts_in_series_may_stay_half() -> None:
    """Two stop contacts that open together may leave the screw between them free, two motions' may not."""
    series = (contact("S1", "receiver:A receiver:B"), contact("S2", "receiver:B receiver:C"))
    both = (*GOOD, row("receiver:A", "v"), row("receiver:C", "w"))
    look = extended("receiver:A receiver:B receiver:C", *series, S1="key:stop", S2="key:stop")
    assert look.oddness(both) == look.oddness((*GOOD, row("receiver:B", "v"))) == 0
    look = extended("receiver:A receiver:B receiver:C", *series, S1="key:up", S2="key:down")
    assert look.oddness(both) == 2 * HALF, "a common that nothing feeds"
    assert look.oddness((*both, row("receiver:B", "u"))) == 0


@pytest.mark.parametrize("owner", ["receiver", "K1"])
@pytest.mark.parametrize(
    ("ends", "figure"),
    [
        ((), 0), (("NO",), HALF), (("COM",), HALF), (("NC",), HALF), (("NO", "NC"), HALF),
        (("COM", "NO"), 0), (("COM", "NC"), 0), (("COM", "NO", "NC"), 0),
    ],
    ids=lambda v: "+".join(v) if isinstance(v, tuple) else str(v),
)  # fmt: skip
def test_a_changeover_needs_its_common_and_one_side(owner: str, ends: tuple[str, ...], figure: int) -> None:
    """Common with either side is whole; a side without common, or a common alone, is half."""
    closing = replace(contact("D", f"{owner}:COM9 {owner}:NO9"), owner=owner)
    rest = replace(contact("D", f"{owner}:COM9 {owner}:NC9", "NC"), name="D.nc", owner=owner)
    screws = " ".join(f"{owner}:{n}9" for n in ("COM", "NO", "NC"))
    look = extended(screws, closing, rest, D="key:down")
    crowd = CROWD if owner == "receiver" and "NC" in ends else 0
    assert look.oddness((*GOOD, *(row(f"{owner}:{e}9", f"y{e}") for e in ends))) == figure + crowd


def test_small_oddities_weigh_less_than_great_ones() -> None:
    """A third wire under a screw is less than half a contact or a bare core, and two of those are as much
    as two numbers on a net or a current on the earth."""
    crowd = odd(*GOOD, row("core:1", "z"), row("core:1", "v"))
    half, bare = odd(*GOOD[1:]) - 2 * odd(*GOOD[:3]), odd(*GOOD[:3])
    numbers, earth = odd(*GOOD, row("y", "z", None, "1")), odd(*GOOD, row("receiver:PE", "z"))
    assert 0 < crowd < half == bare and numbers == earth == half + bare


def test_only_terminals_of_what_is_added_have_to_be_earthed() -> None:
    """The hoist's own protective terminal may stay free, the receiver's may not."""
    assert odd(*GOOD[:3], row("hoist:PE", "PE")) == BARE
    assert odd(*GOOD[:3], row("receiver:PE", "PE")) == 0


def test_a_resting_contact_of_a_device_is_used_like_any_other() -> None:
    """Crossed contacts rest closed and are wired: only the receiver's resting screws are seldom used."""
    rest = replace(contact("K1.nc", "K1:21 K1:22", "NC"), owner="K1")
    look = extended("K1:21 K1:22", rest)
    assert look.oddness((*GOOD, row("K1:21", "y"), row("K1:22", "z"))) == 0
    assert look.resting == {"receiver:C2", "receiver:NC"}
    coil = replace(part("K2", "coil", "receiver:A1 receiver:A2"), owner="receiver", form="NC")
    assert extended("receiver:A1 receiver:A2", coil).resting == look.resting


# -- what a few states show -----------------------------------------------------------------------

EXPECTED = MappingProxyType({"button:up": ("hoist up",), "button:down": ("hoist down",)})
PENDANT = (Stop("stop:ES", "pendant stop", 3, ("ES",)),)


def before() -> Circuit:
    return contactor_hoist(expected=EXPECTED)


def look(after: Circuit, found: Circuit | None = None) -> tuple[str, ...]:
    return Trial(found or before()).look(after).wrong


def with_parts(made: Circuit, *more: Part, without: str = "") -> Circuit:
    return replace(made, parts=(*(p for p in made.parts if p.name != without), *more))


def test_contacts_in_the_handsets_place_stand() -> None:
    """The receiver in the handset's place does what it did; nothing is said of a hoist without stops."""
    assert look(receiver_hoist()) == ()


def test_crossed_outputs_move_the_wrong_way() -> None:
    """UP that feeds the down contactor is told for the key with what the button did."""
    made = receiver_hoist()
    turned = with_parts(
        made, part("receiver:UP", "contact", "C2 DNH", "output:receiver:UP"), without="receiver:UP"
    )
    assert look(turned)[0] == "key:up held: hoist down instead of hoist up"


def test_a_limit_that_is_bridged_is_told() -> None:
    """Past a bridged limit the hook goes on where it stood."""
    limits = (Limit("limit:up", "first", "hoist up"), Limit("limit:down", "first", "hoist down"))
    assert look(receiver_hoist(limits=limits)) == ()
    wrong = look(with_parts(receiver_hoist(limits=limits), part("J", "wire", "UPH u1")))
    assert "key:up held, limit:up open: hoist up instead of nothing" in wrong


def test_a_receiver_without_supply_is_told() -> None:
    """A supply input on one pole twice has no voltage at rest, and no key works."""
    fed = part("receiver:supply", "supply-input", "X2 X2", minimum=20.4, maximum=26.4, power=12)
    wrong = look(with_parts(receiver_hoist(), fed, without="receiver:supply"))
    assert wrong[0] == "rest: the receiver has no supply"


def test_a_receiver_behind_its_own_key_is_told() -> None:
    """A supply that the down contactor's own rest contact passes on is gone while down is held."""
    fed = part("receiver:supply", "supply-input", "sup X2", minimum=20.4, maximum=26.4, power=12)
    aux = part("K2.nc2", "contact", "C1 sup", "coil:K2", "NC")
    wrong = look(with_parts(receiver_hoist(), fed, aux, without="receiver:supply"))
    assert any(line.startswith("key:down held") for line in wrong)
    assert not any(line.startswith("key:up held:") for line in wrong)


@pytest.mark.parametrize(("most", "told"), [(24.0, False), (22.0, False), (21.5, True)])
def test_more_than_a_tenth_too_much_is_told_of_a_receiver(most: float, told: bool) -> None:
    """24 V on an input for 22 V is 9 % too much and stands, on one for 21.5 V it is 12 % and does not."""
    fed = part("receiver:supply", "supply-input", "C1 X2", minimum=10.0, maximum=most, power=12)
    wrong = look(with_parts(receiver_hoist(), fed, without="receiver:supply"))
    assert any("24 V on receiver:supply" in line for line in wrong) is told


@pytest.mark.parametrize(("rated", "told"), [(19.0, False), (18.0, True)])
def test_a_coil_stands_less_than_a_third_too_much(rated: float, told: bool) -> None:
    """A relay coil for 19 V stands 24 V, one for 18 V burns."""
    coil = part("K9", "coil", "C1 X2", voltage=rated, inrush=10, inrush_pf=0.7, sealed=2, sealed_pf=0.4)
    wrong = look(with_parts(receiver_hoist(), coil))
    assert any("24 V on K9" in line for line in wrong) is told


def test_a_lost_link_that_changes_nothing_is_told() -> None:
    """Outputs that stay on loss go on after the link or the supply is lost, for each key."""
    stays = {"on_loss": "stays", "on_return": "restores", "neutral_check": False}
    wrong = look(receiver_hoist("latching", stays))
    assert "key:up held, link lost: hoist up goes on" in wrong
    assert "key:down held, link lost: hoist down goes on" in wrong


def test_where_the_pendant_had_a_stop_one_near_is_needed() -> None:
    """Without a stop near nothing ends a key; a wired one that ends it will do, one that does not is told."""
    found = contactor_hoist(expected=EXPECTED, stops=PENDANT)
    bare = [line for line in look(receiver_hoist(), found) if "no stop near" in line]
    assert {
        "key:up: no stop near the operator ends it",
        "key:down: no stop near the operator ends it",
    } <= set(bare)
    made = receiver_hoist(stops=(Stop("stop:S1", "wired emergency stop", 2, ("S1",)),))
    inputs = (*made.inputs, replace(made.inputs[0], name="stop:S1", kind="stop"))
    main = (
        part("S1", "contact", "C1 C9", "stop:S1", "NC"),
        part("OL", "contact", "C9 C2", "thermal:OL", "NC"),
    )
    wired = replace(with_parts(made, *main, without="OL"), inputs=inputs)
    assert not [line for line in look(wired, found) if "S1" in line or "key" in line]
    dead = replace(made, inputs=inputs)
    assert "key:up held, stop:S1 pressed: hoist up" in look(dead, found)
    far = replace(wired, stops=(replace(made.stops[0], rank=1),))
    assert "key:up: no stop near the operator ends it" in look(far, found)


def test_a_key_that_is_not_there_is_told() -> None:
    """A button of the pendant without key is named, and no state is tried for it."""
    made = receiver_hoist()
    short = replace(
        made, inputs=tuple(i for i in made.inputs if i.name != "key:down"),
        parts=tuple(p for p in made.parts if p.name != "receiver:DOWN"), outputs=made.outputs[:1],
    )  # fmt: skip
    assert look(short) == ("key:down is not there",)


def test_names_are_listed() -> None:
    """Names with commas; nothing where there is none."""
    assert (listed(("a", "b")), listed(())) == ("a, b", "nothing")


# -- motor current on the receiver's contacts ------------------------------------------------------


def rating(**watts: float) -> Any:
    known = dict.fromkeys(("motor_120", "motor_240", "ac3"))
    return SimpleNamespace(**{**known, **{k: SimpleNamespace(si=v) for k, v in watts.items()}})


def site(volts: float, watts: float | None, *stated: Any, motor: bool = True, **known: float) -> Any:
    values = {} if watts is None else {"power": certain("power", watts, "W", "stated", "plate")}
    outputs = tuple(SimpleNamespace(rating=r) for r in stated)
    return SimpleNamespace(
        demand=SimpleNamespace(motor=motor),
        hoist=SimpleNamespace(motors=(SimpleNamespace(values=values),), voltage=SimpleNamespace(si=volts)),
        job=SimpleNamespace(receiver=SimpleNamespace(outputs=outputs)),
        receiver=SimpleNamespace(rating={k: SimpleNamespace(si=v) for k, v in known.items()}),
    )


@pytest.mark.parametrize(
    ("made", "stands"),
    [
        (site(120, 750, motor=False), True),
        (site(120, 750), False),
        (site(120, 750, motor_120=750), True),
        (site(120, 750, motor_120=749), False),
        (site(120, None, motor_120=1), True),
        (site(230, 750, motor_120=750), False),
        (site(230, 750, motor_240=750), True),
        (site(132, 750, motor_120=750), True),
        (site(133, 750, motor_120=750), False),
        (site(120, 750, rating(motor_120=800)), True),
        (site(120, 750, rating(motor_120=700), motor_120=900), False),
        (site(120, 750, rating(motor_120=700), rating(motor_120=760)), True),
        (site(120, 750, rating(ac3=4)), True),
        (site(120, 750, rating()), False),
    ],
)
def test_motor_current_needs_a_motor_rating(made: Any, stands: bool) -> None:
    """Contacts switch a motor only with a rating for motors at its voltage, in watts, or in AC-3 amperes;
    what the user stated for an output counts before what the type says."""
    if stands:
        motor_on_contacts(made)
    else:
        with pytest.raises(NoWay):
            motor_on_contacts(made)


def test_the_best_rating_is_what_the_plate_is_held_against() -> None:
    """Of two outputs with ratings the larger one is named beside the plate's power."""
    with pytest.raises(NoWay, match="rated for 700 W of motor, the plate says 750 W"):
        motor_on_contacts(site(120, 750, rating(motor_120=600), rating(motor_120=700)))


def test_a_hoist_without_a_motor_on_its_plate_has_no_power_to_hold_against() -> None:
    """Nothing is known of the motor: any motor rating may do, none will not."""
    made = site(120, None, motor_120=1)
    made.hoist.motors = ()
    motor_on_contacts(made)
    made.receiver.rating = {}
    with pytest.raises(NoWay):
        motor_on_contacts(made)


def test_a_part_with_a_third_pin_is_looked_at_by_its_first_two() -> None:
    """A supply input with a screw for the shield: live and return belong together, the third is free."""
    input = replace(part("S", "supply-input", "receiver:L receiver:N receiver:SH"), owner="receiver")
    look = extended("receiver:L receiver:N receiver:SH", input)
    assert look.oddness((*GOOD, row("receiver:L", "y"), row("receiver:N", "z"))) == 0
    assert look.oddness((*GOOD, row("receiver:L", "y"))) == HALF
