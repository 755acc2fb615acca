"""Lint of catalog entries: one slip at a time, each named where it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from wiring.files import load_catalog
from wiring.model.entry import HoistType, Netlist, ReceiverType
from wiring.model.value import certain
from wiring.simulate.entry_lint import lint

CATALOG = load_catalog()
HOIST = CATALOG.hoists["reversing-contactors-24"]
RECEIVER = CATALOG.receivers["six-channel-stop-pair"]
DEVICE = CATALOG.devices["contactor-pair-24"]


def faults(entry: object) -> list[str]:
    document: Any = lint(entry).document
    return list(document["faults"])


def with_part(net: Netlist, id: str, **facts: object) -> Netlist:
    """A netlist with one part changed."""
    return replace(net, parts=tuple(replace(p, **facts) if p.id == id else p for p in net.parts))  # type: ignore[arg-type]


def hoist(change: Callable[[Netlist], Netlist]) -> HoistType:
    return replace(HOIST, net=change(HOIST.net))


@pytest.mark.parametrize("entry", [HOIST, RECEIVER, DEVICE], ids=["hoist", "receiver", "device"])
def test_a_sound_entry_has_no_objection(entry: object) -> None:
    """A good entry passes; a hoist's rows are all run, the others have none."""
    page = lint(entry)
    assert (page.verdict, faults(entry)) == ("pass", [])
    rows = f"{len(HOIST.expected)} of {len(HOIST.expected)} rows"
    assert (rows in page.text) == (entry is HOIST) and "not run" not in page.text


def test_only_entries_with_a_netlist_are_looked_at() -> None:
    """A cable or a table has no netlist: what could be read has no objection; what is no entry is refused."""
    for entry in (next(iter(CATALOG.cables.values())), next(iter(CATALOG.tables.values()))):
        page = lint(entry)
        assert page.verdict == "pass" and "no netlist to test" in page.text
    with pytest.raises(TypeError, match="str"):
        lint("cord-so")


def test_a_wire_needs_two_ends_that_are_there() -> None:
    """A wire to nowhere and a wire from an end to itself are named."""
    first = HOIST.net.wires[0]
    lost = replace(first, ends=(first.ends[0], "Z9.9"))
    assert f"wire {first.id}: end Z9.9 is no terminal" in faults(
        hoist(lambda n: replace(n, wires=(lost, *n.wires[1:])))
    )
    loop = replace(first, ends=(first.ends[0], first.ends[0]))
    found = faults(hoist(lambda n: replace(n, wires=(loop, *n.wires[1:]))))
    assert f"wire {first.id}: both ends at {first.ends[0]}" in found


def test_an_id_stands_once() -> None:
    """A wire with the id of a part counts it twice; three of one id are three."""
    wires, part = HOIST.net.wires, HOIST.net.parts[0]
    named = [replace(w, id=part.id) for w in wires[:2]]
    assert any(f"{part.id}: the id stands 2 times" in f
               for f in faults(hoist(lambda n: replace(n, wires=(named[0], *wires[1:])))))  # fmt: skip
    assert any(f"{part.id}: the id stands 3 times" in f
               for f in faults(hoist(lambda n: replace(n, wires=(*named, *wires[2:])))))  # fmt: skip


def test_a_contact_needs_something_that_operates_it() -> None:
    """A contact without cause and one of a coil that is not there are named, and only those."""
    contact = next(p for p in HOIST.net.parts if p.kind == "contact")
    assert f"{contact.id}: nothing operates this contact" in faults(
        hoist(lambda n: with_part(n, contact.id, by=""))
    )
    found = faults(hoist(lambda n: with_part(n, contact.id, by="coil:K99")))
    assert f"{contact.id}: operated by coil K99, which is not there" in found


@pytest.mark.parametrize(("figure", "wrong"), [(0.0, True), (-1.0, True), (1e-6, False)])
def test_impossible_figures_are_refused(figure: float, wrong: bool) -> None:
    """A resistance or a voltage of nothing or less is no figure; a small one is."""
    coil = next(p for p in HOIST.net.parts if p.kind == "coil")
    for name in ("resistance", "voltage"):
        values = {**coil.values, name: certain(f"{coil.id}.{name}", figure, "V", "stated", "test")}
        found = faults(hoist(lambda n, v=values: with_part(n, coil.id, values=v)))  # type: ignore[misc]
        assert any(f.startswith(f"{coil.id}.{name}:") for f in found) is wrong
    angle = {**coil.values, "phase": certain(f"{coil.id}.phase", -120.0, "deg", "stated", "test")}
    assert not faults(hoist(lambda n: with_part(n, coil.id, values=angle)))


def test_handset_and_cores_belong_together() -> None:
    """A core that no contact uses, a contact between nothing and a button without contact are named."""
    contact = HOIST.contacts[0]
    lost = replace(contact, between=("nowhere", contact.between[1]))
    found = faults(replace(HOIST, contacts=(lost, *HOIST.contacts[1:])))
    assert f"contact {contact.id}: nowhere is no core or junction" in found
    more = replace(HOIST.cores[0], role="horn")
    found = faults(replace(HOIST, cores=(*HOIST.cores, more)))
    assert "core horn: no contact of the handset uses it" in found
    for role in ("earth", "spare"):
        quiet = replace(HOIST.cores[0], role=role)
        assert not any("no contact of the handset uses" in f
                       for f in faults(replace(HOIST, cores=(*HOIST.cores, quiet))))  # fmt: skip
    button = replace(HOIST.buttons[0], id="sideways")
    found = faults(replace(HOIST, buttons=(*HOIST.buttons, button)))
    assert "button sideways: it has no contact" in found


def test_a_type_that_cannot_test_itself_is_refused() -> None:
    """Without expected rows, or with a motor whose part is lost, a hoist type is not complete."""
    assert "no expected rows: the type cannot test itself" in faults(replace(HOIST, expected=()))
    motor = replace(HOIST.motors[0], parts=(*HOIST.motors[0].parts, "M99"))
    assert f"motor {motor.id}: part M99 is not there" in faults(replace(HOIST, motors=(motor,)))


def test_parts_are_joined_by_wires() -> None:
    """Three parts on one point that is no terminal are too many; an end that leads nowhere is named."""
    contacts = [p for p in HOIST.net.parts if p.kind == "contact"][:3]

    def crowd(count: int) -> HoistType:
        net = HOIST.net
        for one in contacts[:count]:
            net = with_part(net, one.id, at=("crowd", one.at[1]))
        return replace(HOIST, net=net)

    assert "crowd: 3 parts meet here" in " ".join(faults(crowd(3)))
    assert "parts meet here" not in " ".join(faults(crowd(2)))
    coil = next(p for p in HOIST.net.parts if p.kind == "coil")
    found = faults(hoist(lambda n: with_part(n, coil.id, at=("nowhere", coil.at[1]))))
    assert any("nowhere leads nowhere" in f for f in found)


def test_rows_wait_for_the_netlist() -> None:
    """With an objection the self-test is not run and says so; without one failed rows are named."""
    broken = hoist(lambda n: with_part(n, next(p for p in n.parts if p.kind == "contact").id, by=""))
    page = lint(broken)
    assert page.verdict == "fail" and f"{len(HOIST.expected)} rows wait" in page.text
    swapped = replace(HOIST.expected[0], motions=("hoist sideways",))
    page = lint(replace(HOIST, expected=(swapped, *HOIST.expected[1:])))
    total = len(HOIST.expected)
    assert page.verdict == "fail" and f"{total - 1} of {total} rows" in page.text
    assert not faults(replace(HOIST, expected=(swapped, *HOIST.expected[1:])))


def test_a_receiver_needs_contacts_and_a_supply() -> None:
    """An output without contact, a contact of no output and a receiver never powered are named."""

    def receiver(change: Callable[[Netlist], Netlist]) -> ReceiverType:
        return replace(RECEIVER, net=change(RECEIVER.net))

    out = RECEIVER.outputs[0]
    own = [p for p in RECEIVER.net.parts if p.by == f"output:{out.id}"]
    found = faults(receiver(lambda n: replace(n, parts=tuple(p for p in n.parts if p not in own))))
    assert any(f"output:{out.id}: it has no contact" in f for f in found)
    assert any(f"output:{out.id}: no such output" in f
               for f in faults(replace(RECEIVER, outputs=RECEIVER.outputs[1:])))  # fmt: skip
    dark = receiver(lambda n: replace(n, parts=tuple(p for p in n.parts if p.kind != "supply-input")))
    assert "no supply input: the receiver is never powered" in faults(dark)
