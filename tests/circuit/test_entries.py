"""Receivers and devices of the catalog."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.circuit.jobs import GANTRY
from tests.circuit.test_found import whole
from wiring.circuit import build_after
from wiring.model.entry import Catalog, Netlist
from wiring.model.job import AddedDevice

RECEIVERS = (
    "two-channel-fed", "two-channel-dry", "four-channel-dry-dc", "six-channel-stop-pair",
    "eight-channel-two-speed", "two-channel-solid-state", "four-channel-transistor", "winch-high-side",
    "reversing-relay", "network-relay-module",
)  # fmt: skip
DEVICES = (
    "contactor-pair-24", "contactor-pair-48", "contactor-pair-115", "contactor-pair-120",
    "contactor-pair-230",
    "main-contactor-24", "main-contactor-115", "main-contactor-120", "main-contactor-230", "emergency-stop",
    "isolator", "isolator-1-pole", "isolator-3-pole", "fuse", "relay-24", "relay-120", "relay-230",
    "relay-12dc", "terminal-box", "overload-relay", "control-transformer-400-24", "battery-isolator", "plug",
    "selector-dead-centre", "limit-switch", "capacitor-bleeder-16uf", "suppressor-rc", "suppressor-varistor",
    "suppressor-diode", "supply-unit-24dc", "rectifier", "phase-sequence-relay",
)  # fmt: skip


@pytest.mark.parametrize("id", RECEIVERS)
def test_receiver(catalog: Catalog, id: str) -> None:
    """Each receiver loads, every output drives a part, and its outputs say what a lost link does."""
    kind = catalog.receivers[id]
    driven = {part.by.partition(":")[2] for part in kind.net.parts if part.by.startswith("output:")}
    assert driven == {output.id for output in kind.outputs}
    assert set(kind.on_loss) == set(kind.modes)
    assert set(kind.stop_outputs) == {output.id for output in kind.outputs if output.key == "stop"}
    pins = {pin for part in kind.net.parts for pin in part.at}
    assert set(kind.supply_terminals) <= pins
    assert kind.recognise and kind.rating and all(value.weak for value in kind.rating.values())
    job = replace(GANTRY, receiver=replace(GANTRY.receiver, type=id, outputs=()), connections=())
    whole(build_after(job, catalog))


def test_no_receiver_is_forgotten(catalog: Catalog) -> None:
    """The catalog holds the ten receiver classes; only the network module is refused for lifting."""
    assert set(RECEIVERS) <= set(catalog.receivers)
    refused = [kind.id for kind in catalog.receivers.values() if not kind.lifting]
    assert refused == ["network-relay-module"]
    assert catalog.receivers["network-relay-module"].lifting_why


def test_solid_state_outputs_leak(catalog: Catalog) -> None:
    """An electronic output is a semiconductor with a leakage, never a contact."""
    for id in ("two-channel-solid-state", "four-channel-transistor", "winch-high-side"):
        outputs = [part for part in catalog.receivers[id].net.parts if part.by]
        assert all(part.kind == "semiconductor" and part.values["leakage"].si > 0 for part in outputs)


def test_terminals_of_receivers_carry_their_wire_range(catalog: Catalog) -> None:
    """Every screw of a receiver says what wire it takes and how tight it is turned."""
    for kind in catalog.receivers.values():
        for terminal in kind.net.terminals:
            assert terminal.size_min and terminal.size_max, (kind.id, terminal.id)
            assert terminal.torque or terminal.kind == "lead"


@pytest.mark.parametrize("id", DEVICES)
def test_device(catalog: Catalog, id: str) -> None:
    """Each device loads, and every name of it leads somewhere once it is added to a job."""
    circuit = build_after(replace(GANTRY, devices=(AddedDevice("D1", id),)), catalog)
    whole(circuit)
    kind = catalog.devices[id]
    own = [part for part in circuit.parts if part.owner == "D1"]
    assert len(own) == len(kind.net.parts) + len(kind.net.wires)
    assert own or kind.id == "terminal-box"
    assert kind.rating


def test_every_device_file_builds(catalog: Catalog) -> None:
    """No device of the catalog has a name that leads nowhere."""
    for id in catalog.devices:
        whole(build_after(replace(GANTRY, devices=(AddedDevice("D1", id),)), catalog))


def contacts(net: Netlist, unit: str, form: str, role: str) -> int:
    return len([p for p in net.parts if p.by == f"coil:{unit}" and p.form == form and p.role == role])


@pytest.mark.parametrize("volts", [24, 48, 115, 120, 230])
def test_contactor_pairs(catalog: Catalog, volts: int) -> None:
    """A pair has three poles, one NO and one NC auxiliary a side, coils of its voltage, and an interlock."""
    kind = catalog.devices[f"contactor-pair-{volts}"]
    assert kind.net.interlocks == (("up", "down"),) and kind.units == ("up", "down")
    for unit in kind.units:
        assert contacts(kind.net, unit, "NO", "power") == 3
        assert contacts(kind.net, unit, "NO", "aux") == contacts(kind.net, unit, "NC", "aux") == 1
    coils = [part for part in kind.net.parts if part.kind == "coil"]
    for coil in coils:
        values = coil.values
        assert values["voltage"].si == volts
        assert values["resistance"].si == pytest.approx(0.75 * volts**2 / values["inrush"].si, rel=0.01)


def test_terminal_box_is_terminals_only(catalog: Catalog) -> None:
    """A terminal box joins nothing by itself, and a terminal takes more than one wire."""
    net = catalog.devices["terminal-box"].net
    assert not net.parts and not net.wires
    assert all(terminal.max_wires and terminal.max_wires > 1 for terminal in net.terminals)


def test_stop_devices_open_when_operated(catalog: Catalog) -> None:
    """Every contact of a stop device is closed at rest and opened by its own actuator."""
    for kind in catalog.devices.values():
        if kind.kind in ("emergency-stop", "isolator", "battery-isolator", "plug"):
            moving = [part for part in kind.net.parts if part.kind == "contact"]
            assert moving and all((part.by, part.form) == ("stop:", "NC") for part in moving), kind.id


def test_poles_of_isolators(catalog: Catalog) -> None:
    """Isolators come with one, two and three poles."""
    poles = [len(catalog.devices[id].net.parts) for id in ("isolator-1-pole", "isolator", "isolator-3-pole")]
    assert poles == [1, 2, 3]
