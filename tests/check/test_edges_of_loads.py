"""Rules about currents, voltages and fuses at their edges, on circuits of a few parts and given figures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.made import job
from tests.check.planted import case, circuit, drafts, facts, part, state, verdicts
from wiring.check.draft import Draft
from wiring.check.duty import Duty
from wiring.check.loads import Load
from wiring.check.rating import Rated
from wiring.check.rules import (
    conductor_motor_drop,
    contact_backup_fuse,
    contact_minimum_load,
    contact_voltage,
    supply_fuse,
    supply_pendant_voltage,
)
from wiring.check.rules.conductor_rating import highest
from wiring.check.rules.mode_stop_travel import dropping
from wiring.check.rules.supply_motor_overload import ending
from wiring.check.rules.supply_motor_overload import judge as overload
from wiring.check.rules.supply_pendant_voltage import Between
from wiring.check.rules.supply_range import under_inrush
from wiring.check.rules.supply_standing_drain import judge as drain
from wiring.check.runs import Run
from wiring.model.circuit import Input, Motor, Part, Point
from wiring.model.job import Answer, StatedValue, Supply
from wiring.model.value import Amount, WireSize, certain

MAINS = part("V", "source", "L N", voltage=120, frequency=60)
BATTERY = part("V", "source", "L N", voltage=24, frequency=0)
FUSE = part("F1", "fuse", "L a", rating=5)
MOTOR = Motor("M", "capacitor", ("W",), "hoist up", "hoist down")


# -- motors at the end of their conductors ------------------------------------------------------


def dropped(region: str, monkeypatch: pytest.MonkeyPatch) -> tuple[Draft, set[str]]:
    """conductor.motor-drop of a motor of 10 A at 120 V, whose two directions have 0.3 and 0.9 ohm."""
    ohms = {"1": 0.3, "2": 0.9}
    size = WireSize("awg", "14", 2.08e-6, "14 AWG")
    load = Load("motor", "M", part("W", "winding", "a b"), MOTOR)
    ways = [
        [Run(n, part(n, "wire", "a b"), "W1", size, 3.0, None, None, "cable.0", (load,), False)] for n in ohms
    ]
    monkeypatch.setattr(conductor_motor_drop, "loop_ohms", lambda case, motor, way: ohms[way[0].name])
    monkeypatch.setattr(conductor_motor_drop, "steady_a", lambda *_: 10.0)
    monkeypatch.setattr(conductor_motor_drop, "locked_a", lambda *_: 40.0)
    asked = case("conductor.motor-drop", facts(circuit(MAINS), given=job(region)))
    return conductor_motor_drop.judge(asked, "M", MOTOR, ways), set(asked.used)


def test_the_worse_direction_of_a_motor_decides(monkeypatch: pytest.MonkeyPatch) -> None:
    """10 A over 0.9 ohm are 7.5 % of 120 V and fail; the other direction with 2.5 % does not help."""
    draft, _ = dropped("us", monkeypatch)
    assert str(draft.verdict) == "fail" and draft.measured == pytest.approx(0.075)


def test_a_drop_is_held_to_the_limit_of_its_region(monkeypatch: pytest.MonkeyPatch) -> None:
    """In the United States the code's note counts, elsewhere IEC 60204-1."""
    us, iec = "hoist-practice/motor-drop-us/ratio", "iec-60204-1-limits/drop/ratio"
    _, here = dropped("us", monkeypatch)
    _, there = dropped("iec", monkeypatch)
    assert us in here and iec not in here
    assert iec in there and us not in there


def test_the_highest_voltage_is_that_of_the_sources_too() -> None:
    """A source in the circuit counts beside the supply that the job states; one without figure does not."""
    high = part("V2", "source", "A B", voltage=480)
    bare = part("V3", "source", "C D")
    stated = job(supply=Supply(voltage=Amount(240.0, "voltage", "240 V")))
    assert highest(case("conductor.rating", facts(circuit(high, bare)))) == 480.0
    assert highest(case("conductor.rating", facts(circuit(bare), given=stated))) == 240.0


# -- what a contact switches --------------------------------------------------------------------

COIL = Load("coil", "K1", part("K1", "coil", "a b"))


def duty(volts: float = 24.0, typical: bool = False) -> Duty:
    rated = Rated("D1", {}, {"voltage_ac": "24 V"}, "device.0.rating", typical=typical)
    return Duty(part("D1:1-2", "contact", "a b", owner="D1", role="power"), rated, (COIL,), volts, True)


def test_the_least_current_that_wets_any_contact_wets_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """With just that current nothing is asked; with less the print of the contact is missing."""
    given = facts(circuit(MAINS))
    least = case("contact.minimum-load", given).cell("relay-contacts", "least-silver", "current")
    monkeypatch.setattr(contact_minimum_load, "duties", lambda case: iter((("UP", duty()),)))
    monkeypatch.setattr(contact_minimum_load, "through_bleeders", lambda *_: 0.0)
    for amps, found in ((least, {}), (least * 1.5, {}), (least * 0.99, {"UP": "unknown"})):
        monkeypatch.setattr(contact_minimum_load, "steady", lambda *_, amps=amps: amps)
        assert verdicts("contact.minimum-load", given) == found


@pytest.mark.parametrize(("volts", "named"), [(23.9, False), (24.0, False), (24.1, True)])
def test_a_device_is_named_above_its_rated_voltage(
    volts: float, named: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A device that switches just what it is rated for is no subject of its own; above that it fails."""
    mine = duty(volts)
    monkeypatch.setattr(contact_voltage, "duties", lambda case: iter(()))
    rows = ((mine.contact.name, mine.contact, mine.rated),)
    monkeypatch.setattr(contact_voltage, "device_contacts", lambda case: iter(rows))
    monkeypatch.setattr(contact_voltage, "duty_of", lambda *_: mine)
    monkeypatch.setattr(contact_voltage, "voltage_ceiling", lambda *_: (24.0, "24 V AC"))
    assert verdicts("contact.voltage", facts(circuit(MAINS))) == ({"D1": "fail"} if named else {})


# -- coils that let go late ---------------------------------------------------------------------


def released(source: Part, rect: str) -> tuple[float, str]:
    """Time and words of a coil with this suppressor across it."""
    coil, across = part("K1", "coil", "L N", voltage=24), part("Z", "suppressor", "L N", rect=rect)
    return dropping(case("mode.stop-travel", facts(circuit(source, coil, across))))


def test_a_diode_holds_a_coil_of_direct_current_alone() -> None:
    """Across a coil of direct current a diode makes it late, a resistor with capacitor does not; on
    alternating current a diode across it is another fault and adds nothing here."""
    bare = released(BATTERY, "rc")
    assert bare[1] == "" and released(MAINS, "rc")[1] == ""
    held = released(BATTERY, "diode")
    assert held[0] > bare[0] and held[1] == " (diode across K1)"
    assert released(MAINS, "diode") == released(MAINS, "rc")
    assert released(BATTERY, "diode-zener")[1] == " (diode-zener across K1)"


# -- fuses --------------------------------------------------------------------------------------


def fused(load: Load, amps: float, monkeypatch: pytest.MonkeyPatch) -> str:
    """What is said of a receiver behind a read fuse of 5 A that carries so much."""
    mine = part("receiver:supply", "supply-input", "a N", owner="receiver")
    rest = state()
    monkeypatch.setattr(supply_fuse, "carried", lambda *_: ((load,), rest))
    monkeypatch.setattr(supply_fuse, "plate_amps", lambda loads: amps)
    monkeypatch.setattr(supply_fuse, "steady_a", lambda *_: amps)
    (found,) = drafts("supply.fuse", facts(circuit(MAINS, FUSE, mine), rest))
    return f"{found.verdict}: {found.found}"


def test_a_fuse_carries_its_own_rating(monkeypatch: pytest.MonkeyPatch) -> None:
    """5 A on a fuse of 5 A do not open it, 5.1 A do: of a motor and of a receiver alike."""
    motor = Load("motor", "M", part("W", "winding", "a N"), MOTOR)
    receiver = Load("receiver", "receiver:supply", part("receiver:supply", "supply-input", "a N"))
    assert fused(motor, 5.0, monkeypatch) == "fail: only F1, which carries the motor too"
    assert fused(motor, 5.1, monkeypatch) == "fail: F1 5.00 A carries 5.10 A and opens"
    assert fused(receiver, 5.0, monkeypatch) == "pass: F1 5.00 A"
    assert fused(receiver, 5.1, monkeypatch) == "fail: F1 5.00 A carries 5.10 A and opens"


# -- overload -----------------------------------------------------------------------------------


def ended(*left: str) -> list[str]:
    """Thermal inputs that end a motor, where these commands go on with it open."""
    made = circuit(
        MAINS, motors=(MOTOR,), inputs=(Input("thermal:OL", "thermal"),),
        expected={"key:up": ("hoist up",), "key:down": ("hoist down",)},
    )  # fmt: skip
    moving = {"key:up": ("hoist up",), "key:down": ("hoist down",)}
    states = [state(k, motions=m) for k, m in moving.items()]
    states += [state(k, "thermal:OL", motions=m if k in left else ()) for k, m in moving.items()]
    return ending(case("supply.motor-overload", facts(made, *states)), "after", MOTOR)


def test_a_thermal_device_ends_every_motion_of_its_motor() -> None:
    """One that leaves a single direction running does not protect the motor."""
    assert ended() == ["thermal:OL"]
    assert ended("key:up") == ended("key:down") == ended("key:up", "key:down") == []


def test_horsepower_is_told_in_horsepower() -> None:
    """7.5 hp are 5,593 W: what may do without a device is told as it stands on the plate."""
    motor = Motor("M", "capacitor", ("W",), "up", "down", values=part("M", "winding", "", power=5592).values)
    asked = case("supply.motor-overload", facts(circuit(MAINS, motors=(motor,))))
    said = overload(asked, "M", motor)
    assert str(said.verdict) == "pass" and said.found.startswith("none; 7.5 hp ")


# -- voltages in the handset --------------------------------------------------------------------


@pytest.mark.parametrize(("volts", "raised"), [(100.0, False), (101.0, False), (102.0, True), (230.0, True)])
def test_a_capacitors_voltage_is_told_apart_from_a_hundredth_on(
    volts: float, raised: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Up to a hundredth above the supply's own voltage is that voltage; above it a capacitor made it."""

    def told(case: object, about: str, state: object, fed: bool) -> tuple[Between, ...]:
        # at rest nothing but the supply's own is there
        moving = bool(state) and not fed
        return (Between(volts if moving else 100.0, "core:1", "core:2", frozenset()),)

    monkeypatch.setattr(supply_pendant_voltage, "pairs", told)
    made = circuit(
        MAINS, points=(Point("pendant:1", "pendant", True, "handset"),), expected={"key:up": ("hoist up",)}
    )
    old = replace(made, about="before", points=())
    found = verdicts("supply.pendant-voltage", facts(made, state(), state("key:up"), before=old))
    assert ("handset beside a running motor" in found) is raised and "handset" in found


# -- the receiver's supply ----------------------------------------------------------------------


def test_a_transformer_that_feeds_no_coil_does_not_sag() -> None:
    """Where no coil pulls in on the receiver's transformer all of its voltage is left."""
    feeding = part("T", "transformer", "L N s1 s2", primary=120, secondary=24, power=50, impedance=0.1)
    mine = part("receiver:supply", "supply-input", "s1 s2", owner="receiver", power=5)
    asked = case("supply.range", facts(circuit(MAINS, feeding, mine), state()))
    assert under_inrush(asked, mine) == (1.0, "")


def test_a_standing_current_is_told_in_milliamperes() -> None:
    """0.1 A for 30 days are 72 Ah of a battery of 100 Ah, told as 100.0 mA."""
    stated = StatedValue("receiver.standing_current", Amount(0.1, "current", "100 mA"), "data sheet")
    given = job(values=(stated,), answers=(Answer("supply.standing-drain", "100 Ah"),))
    draft = drain(case("supply.standing-drain", facts(circuit(BATTERY), given=given)), "receiver")
    assert draft.found == "72.0 Ah a month of 100 Ah" and draft.path == "100.0 mA x 30 days"


def test_what_limits_is_asked_for_where_nothing_stands_before_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where neither a fuse nor the supply's device is known, the device's rating is what is missing."""
    mine = replace(duty(), rated=Rated("UP", {"fuse_max": certain("f", 10.0, "A", "stated", "x")}, {}, "r"))
    monkeypatch.setattr(contact_backup_fuse, "duties", lambda case: iter((("UP", mine),)))
    monkeypatch.setattr(contact_backup_fuse, "protecting", lambda *_: None)
    (draft,) = drafts("contact.backup-fuse", facts(circuit(MAINS)))
    assert str(draft.verdict) == "unknown" and draft.key == "supply.protective_device.rating"


def test_a_fuse_in_one_way_only_leaves_the_other_bare() -> None:
    """A coil that one key feeds through a fuse and the other past it fails, and the key is named; with
    the fuse before both ways it passes."""
    up, down = "output:receiver:UP", "output:receiver:DOWN"
    for start, wanted in (("L", "fail"), ("a", "pass")):
        made = circuit(
            part("V", "source", "L N", voltage=120, frequency=60),
            part("F1", "fuse", "L a", rating=5),
            part("receiver:UP", "contact", "a k", by=up, form="NO"),
            part("receiver:DOWN", "contact", f"{start} k", by=down, form="NO"),
            part("K", "coil", "k N", voltage=120, sealed=8, inrush=70, sealed_pf=0.3, inrush_pf=0.7),
        )
        one = state("key:up", closed="receiver:UP", volts={"K": 120 + 0j})
        other = state("key:down", closed="receiver:DOWN", volts={"K": 120 + 0j})
        (found,) = drafts("supply.fuse", facts(made, state(), one, other))
        assert (str(found.verdict), "with key:down" in found.found) == (wanted, wanted == "fail")
