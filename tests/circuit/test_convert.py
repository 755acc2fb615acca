"""The hoist as converted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.circuit.jobs import GANTRY, MALT, output
from tests.circuit.test_found import whole
from wiring.circuit import build_after
from wiring.model.entry import Catalog
from wiring.model.job import (
    AddedDevice,
    BenchResult,
    Connection,
    JumperSetting,
    Pendant,
    Remove,
    Transmitter,
)


def test_removed_cord_leaves_the_terminal(catalog: Catalog) -> None:
    """With the cord removed the name of a core means the terminal where it sat, and nothing of it is left."""
    circuit = build_after(GANTRY, catalog)
    whole(circuit)
    assert circuit.aliases["core:2"] == "hoist:X1.2"
    assert not [part for part in circuit.parts if part.owner in ("core", "pendant")]
    assert circuit.core_order == ()
    gone = {removed.name: removed.ends for removed in circuit.removed}
    assert gone["core:2"] == ("hoist:X1.2",)
    assert gone["hoist:W7"] == ("hoist:F1.2", "hoist:K1.1")
    assert {"pendant:ES", "pendant:up", "pendant:down"} <= set(gone)


def test_kept_tail_is_a_wire(catalog: Catalog) -> None:
    """With the tail kept the name of a core means the tail's far end; the tail keeps its neighbours."""
    circuit = build_after(MALT, catalog)
    whole(circuit)
    assert circuit.part("core:2").pins == ("hoist:X1.2", "core:2")
    assert "core:2" not in circuit.aliases
    assert circuit.core_order == ("core:1", "core:2", "core:3", "core:4", "core:PE")
    assert circuit.part("wire:201").pins == ("core:2", "K10.up:2")


def test_tail_of_unstated_length(catalog: Catalog) -> None:
    """The tail's resistance is its own: not known where its length is not stated."""
    short = build_after(MALT, catalog).part("core:1").values["resistance"]
    assert short.si == pytest.approx(0.9144 * 4.99 / 304.8)
    job = replace(MALT, cord=replace(MALT.cord, kept_length=None))
    assert "resistance" not in build_after(job, catalog).part("core:1").values


def test_conductors(catalog: Catalog) -> None:
    """A conductor joins the two points it lands on; one that lands nowhere ends at itself."""
    circuit = build_after(GANTRY, catalog)
    assert circuit.part("W1:1").pins == ("hoist:X1.1", "receiver:3")
    assert (circuit.part("W1:1").number, circuit.part("W1:1").cable) == ("101", "W1")
    assert circuit.part("W1:4").pins == ("W1:4.from", "W1:4.to")
    assert circuit.aliases["W1:1.to"] == "receiver:3"
    assert circuit.conductor_order["W1"] == ("W1:1", "W1:2", "W1:3", "W1:4")
    assert circuit.part("wire:104").pins == ("receiver:5", "receiver:8")


def test_conductor_ends_may_be_landed_on(catalog: Catalog) -> None:
    """A connection to the end of a conductor lands where that conductor lands, in either order."""
    rows = (Connection("W1:1.to", "K0:A1", None), *GANTRY.connections)
    circuit = build_after(replace(GANTRY, connections=rows), catalog)
    assert circuit.part("wire:c1").pins == ("receiver:3", "K0:A1")
    loop = (Connection("W1:1.from", "W1:1.to", "W1:1"),)
    assert build_after(replace(GANTRY, connections=loop), catalog).part("W1:1").kind == "wire"


def test_unlanded_and_unknown_ends(catalog: Catalog) -> None:
    """An end that is not stated, or that names a device nobody entered, stays open and crashes nothing."""
    rows = (
        Connection("", "receiver:3", "W1:1"),
        Connection("core:2", "K99:A1", "W1:2"),
        Connection("core:3", "receiver:10", "W1:2"),
    )
    circuit = build_after(replace(GANTRY, connections=rows), catalog)
    whole(circuit)
    assert circuit.part("W1:1").pins == ("W1:1.from", "receiver:3")
    assert circuit.part("W1:2").pins == ("hoist:X1.2", "K99:A1")
    assert circuit.part("W1:2.c3").pins == ("hoist:X1.3", "receiver:10")


def test_jumper_as_set(catalog: Catalog) -> None:
    """A factory jumper is there until the job says it is out."""
    assert build_after(GANTRY, catalog).part("receiver:J1").pins == ("receiver:5", "receiver:8")
    out = replace(GANTRY, receiver=replace(GANTRY.receiver, jumpers=(JumperSetting("J1", False),)))
    assert "receiver:J1" not in {part.name for part in build_after(out, catalog).parts}


def test_outputs_as_set(catalog: Catalog) -> None:
    """An output carries key, mode, channel and what it does on loss, as the job sets it."""
    outputs = {output.name: output for output in build_after(GANTRY, catalog).outputs}
    up, stop, start = (outputs[f"receiver:{id}"] for id in ("UP", "STOP1", "START"))
    assert (up.key, up.mode, up.channel, up.on_loss, up.on_return) == (
        "key:up",
        "momentary",
        "logic",
        "opens",
        "off",
    )
    assert (stop.key, stop.invert, stop.needs_start) == ("key:stop", True, True)
    assert (start.key, start.pulse) == ("key:start", True)
    assert outputs["receiver:M3"].key == ""
    assert build_after(GANTRY, catalog).channels["stop A"] == ("receiver:STOP1",)


def test_what_nobody_recorded_stays_unknown(catalog: Catalog) -> None:
    """A mode that is not recorded is None, and so is what follows from it."""
    outputs = {output.name: output for output in build_after(MALT, catalog).outputs}
    first, second = outputs["receiver:CH1"], outputs["receiver:CH2"]
    assert (second.mode, second.on_loss, second.on_return, second.neutral_check) == (None, None, None, None)
    assert (first.mode, first.on_loss) == ("toggle", None)
    latching = replace(MALT.receiver, outputs=(output("CH1", "up", "latching"),))
    assert build_after(replace(MALT, receiver=latching), catalog).outputs[0].on_loss == "stays"


def test_bench_outweighs_the_typed_time(catalog: Catalog) -> None:
    """An output seen to stay closed without its transmitter is built so, whatever time was typed."""
    job = replace(GANTRY, bench=(BenchResult("battery-out", "UP", "stays"),))
    loss = {output.name: output.on_loss for output in build_after(job, catalog).outputs}
    assert (loss["receiver:UP"], loss["receiver:DOWN"]) == ("stays", "opens")


def test_two_outputs_on_one_key(catalog: Catalog) -> None:
    """Two outputs may follow one key."""
    both = replace(MALT.receiver, outputs=(output("CH1", "down"), output("CH2", "down")))
    circuit = build_after(replace(MALT, receiver=both, transmitters=()), catalog)
    assert [output.key for output in circuit.outputs] == ["key:down", "key:down"]
    assert [input.name for input in circuit.inputs if input.kind == "key"] == ["key:down"]


def test_step_two_that_replaces(catalog: Catalog) -> None:
    """Where step two replaces step one the first output yields to the second key, else it does not."""
    rows = (output("UP", "up"), output("FAST_H-UP", "up.2"))
    facts = replace(GANTRY.receiver, type="eight-channel-two-speed", outputs=rows)
    for word, yields in (("replaces", ("key:up.2",)), ("cumulative", ()), (None, ())):
        circuit = build_after(replace(GANTRY, receiver=replace(facts, step_two=word)), catalog)
        outputs = {output.name: output for output in circuit.outputs}
        assert outputs["receiver:UP"].yields_to == yields
        assert outputs["receiver:FAST_H-UP"].yields_to == ()


def test_keys_of_every_transmitter(catalog: Catalog) -> None:
    """Every key of every transmitter is an input, with link and supply."""
    job = replace(GANTRY, transmitters=(*GANTRY.transmitters, Transmitter("T2", ("up", "lamp"))))
    names = [input.name for input in build_after(job, catalog).inputs]
    assert names[:5] == ["key:up", "key:down", "key:lamp", "key:start", "key:stop"]
    assert names[-2:] == ["link", "supply"]
    assert not [name for name in names if name.startswith("button:")]


def test_limits_stay_inputs_when_bypassed(catalog: Catalog) -> None:
    """A limit whose contact was taken off is still an input: nothing that it opens must be seen."""
    job = replace(GANTRY, removes=(Remove("hoist:LSU"),))
    circuit = build_after(job, catalog)
    assert "limit:up" in [input.name for input in circuit.inputs]
    assert not [part for part in circuit.parts if part.by == "limit:up"]


def test_removed_contactor_takes_its_interlock(catalog: Catalog) -> None:
    """A contactor that is gone interlocks nothing, and a motor that is gone is no motor."""
    circuit = build_after(replace(GANTRY, removes=(Remove("hoist:K1"), Remove("hoist:motor"))), catalog)
    assert (circuit.interlocks, circuit.motors) == ((), ())


def test_device_brings_its_interlock(catalog: Catalog) -> None:
    """A contactor pair brings its mechanical interlock; a pair without one brings none."""
    assert build_after(MALT, catalog).interlocks == (("K10.up", "K10.down"),)
    loose = replace(MALT, devices=(AddedDevice("K10", "contactor-pair-120-not-interlocked"),))
    assert build_after(loose, catalog).interlocks == ()


def test_pendant_kept_as_stop(catalog: Catalog) -> None:
    """A pendant kept as a stop keeps its stop contact and its cores, and nothing that moves."""
    job = replace(GANTRY, cord=replace(GANTRY.cord, fate="kept"), pendant=Pendant("stop-kept"))
    circuit = build_after(job, catalog)
    whole(circuit)
    assert [part.name for part in circuit.parts if part.owner == "pendant"] == ["pendant:ES"]
    assert circuit.part("core:1").pins == ("hoist:X1.1", "pendant:feed")
    assert {"pendant:up", "pendant:down"} <= {removed.name for removed in circuit.removed}


def test_pendant_needs_its_cord(catalog: Catalog) -> None:
    """A stop contact cannot stay on a cord that is cut."""
    circuit = build_after(replace(GANTRY, pendant=Pendant("stop-kept")), catalog)
    assert not [part for part in circuit.parts if part.owner == "pendant"]


def test_pendant_kept_with_selector(catalog: Catalog) -> None:
    """With a selector both buttons and keys are inputs, and its dead centre lies between its positions."""
    job = replace(
        GANTRY,
        cord=replace(GANTRY.cord, fate="kept"),
        pendant=Pendant("kept-with-selector"),
        devices=(AddedDevice("S5", "selector-dead-centre"),),
    )
    circuit = build_after(job, catalog)
    whole(circuit)
    inputs = {input.name: input.implies for input in circuit.inputs}
    assert {"button:up", "key:up"} <= set(inputs)
    assert (inputs["selector:S5.off"], inputs["selector:S5.pendant"]) == ("", "selector:S5.off")
    some = build_after(replace(job, pendant=Pendant("kept-with-selector", ("up",))), catalog)
    assert [part.name for part in some.parts if part.owner == "pendant"] == ["pendant:ES", "pendant:up"]


def test_added_limit_switches(catalog: Catalog) -> None:
    """A limit switch added where there was none is that limit; where there is one it is a second thing."""
    crane = replace(
        GANTRY,
        hoist=replace(GANTRY.hoist, type="three-phase-direct-three-pole-460"),
        devices=(AddedDevice("B1", "limit-switch-up"),),
        removes=(),
    )
    circuit = build_after(crane, catalog)
    assert ("limit:up", "first", "hoist up") in [(x.input, x.kind, x.motion) for x in circuit.limits]
    second = build_after(replace(GANTRY, devices=(AddedDevice("B1", "limit-switch-up"),)), catalog)
    assert second.part("B1:21-22").by == "limit:B1" and second.part("hoist:LSU").by == "limit:up"
    assert ("limit:B1", "back-up", "hoist up") in [(x.input, x.kind, x.motion) for x in second.limits]


def test_overload_relays(catalog: Catalog) -> None:
    """An overload relay set to automatic reset says so; one that waits for a hand does not."""
    for type, expected in (("overload-relay", ()), ("overload-relay-automatic", ("thermal:F9",))):
        circuit = build_after(replace(GANTRY, devices=(AddedDevice("F9", type),)), catalog)
        assert circuit.auto_reset == expected
        assert circuit.part("F9:95-96").by == "thermal:F9"


def test_unknown_receiver_is_refused(catalog: Catalog) -> None:
    """Without a known receiver type there is no converted circuit."""
    for type in (None, "no-such-type"):
        with pytest.raises(ValueError, match="receiver type"):
            build_after(replace(GANTRY, receiver=replace(GANTRY.receiver, type=type)), catalog)


def test_a_bare_job_builds(catalog: Catalog) -> None:
    """A job that says nothing but its two types still gives a circuit."""
    bare = replace(
        GANTRY, cores=(), connections=(), cables=(), devices=(), removes=(), stops=(), transmitters=(),
        pendant=Pendant(), cord=replace(GANTRY.cord, fate=None, order=None, size=None, length=None),
    )  # fmt: skip
    circuit = build_after(bare, catalog)
    whole(circuit)
    assert len(circuit.motors) == 1 and "link" in [input.name for input in circuit.inputs]


def test_kept_cord_without_its_handset(catalog: Catalog) -> None:
    """A cord that stays without its handset ends at its far end, with its whole length."""
    circuit = build_after(replace(MALT, cord=replace(MALT.cord, fate="kept")), catalog)
    whole(circuit)
    core = circuit.part("core:1")
    assert core.pins == ("hoist:X1.1", "core:1")
    assert core.values["resistance"].si == pytest.approx(12 * 4.99e-3)
