"""One thing changed in an example job: the rule that watches it answers, and no other job was needed."""

from __future__ import annotations

import functools

import pytest

from tests.jobs.plans import DEMO, block, finding, planned, planned_text, swapped
from wiring.model.finding import Verdict
from wiring.model.plan import Plan

SECOND = DEMO / "malt-second-plan.toml"
GANTRY = DEMO / "slipway-gantry.toml"


@functools.cache
def malt() -> str:
    return SECOND.read_text("utf-8")


@functools.cache
def gantry() -> str:
    return GANTRY.read_text("utf-8")


def output(id: str, old: str, new: str) -> tuple[str, str]:
    """A change inside one [[receiver.output]] of the malt hoist."""
    whole = block(malt(), f'[[receiver.output]]\nid = "{id}"')
    return whole, swapped(whole, (old, new))


def turned(plan: Plan, before: Plan, rule: str, subject: str, words: str) -> None:
    """The rule fails where it had no objection before, and says why in these words."""
    was, now = finding(before, rule, subject), finding(plan, rule, subject)
    assert was.verdict in (Verdict.PASS, Verdict.NOT_APPLICABLE), was
    assert now.verdict is Verdict.FAIL, now
    assert words in now.found
    assert now.remedy


def test_latching_mode() -> None:
    """An output set to latching is no hold-to-run control."""
    plan = planned_text(swapped(malt(), output("CH1", 'mode = "momentary"', 'mode = "latching"')))
    turned(plan, planned(SECOND), "mode.hold-to-run", "receiver:CH1", "latching")
    assert finding(plan, "mode.hold-to-run", "receiver:CH2").verdict is Verdict.PASS
    turned(plan, planned(SECOND), "proof.release-stops", "release", "hoist up goes on")


def test_two_connections_swapped() -> None:
    """With the two contactors landed on each other's core, up lowers."""
    swap = swapped(
        malt(),
        ('from = "core:2"\nto = "K10.up:2"', 'from = "core:3"\nto = "K10.up:2"'),
        ('from = "core:3"\nto = "K10.down:2"', 'from = "core:2"\nto = "K10.down:2"'),
    )
    turned(planned_text(swap), planned(SECOND), "proof.same-motions", "key:up", "hoist down")


def test_interlock_taken_out() -> None:
    """A pair without mechanical and electrical interlock lets both contactors in together."""
    bare = swapped(
        malt(),
        ('type = "contactor-pair-120"', 'type = "contactor-pair-120-not-interlocked"'),
        ('from = "receiver:NO1"\nto = "K10.down:21"', 'from = "receiver:NO1"\nto = "K10.up:A1"'),
        ('from = "receiver:NO2"\nto = "K10.up:21"', 'from = "receiver:NO2"\nto = "K10.down:A1"'),
        (block(malt(), 'from = "K10.down:22"'), ""),
        (block(malt(), 'from = "K10.up:22"'), ""),
    )
    plan = planned_text(bare)
    turned(plan, planned(SECOND), "mode.opposing", "key:down + key:up", "nothing keeps them apart")
    turned(plan, planned(SECOND), "proof.both-pressed", "key:down + key:up", "hoist:motor")


def test_mechanical_interlock_alone_taken_out() -> None:
    """Cross-wired contacts without a mechanical interlock leave a race, and say so in its own words."""
    plan = planned_text(
        swapped(malt(), ('type = "contactor-pair-120"', 'type = "contactor-pair-120-not-interlocked"'))
    )
    turned(plan, planned(SECOND), "proof.both-pressed", "key:down + key:up", "a race")
    opposing = finding(plan, "mode.opposing", "key:down + key:up")
    assert opposing.verdict is Verdict.PASS and "no mechanical interlock" in opposing.found


def test_thin_wire() -> None:
    """22 AWG in the cable to the control box is smaller than any table allows there."""
    w1 = block(malt(), '[[cable]]\nid = "W1"')
    plan = planned_text(swapped(malt(), (w1, swapped(w1, ('size = "14 AWG"', 'size = "22 AWG"')))))
    turned(plan, planned(SECOND), "conductor.minimum-size", "W1:1", "22 AWG")
    found = finding(plan, "conductor.minimum-size", "W1:1")
    assert found.measured is not None and found.limit is not None and found.measured < found.limit


def test_long_thin_control_cable() -> None:
    """0.5 mm² over 60 m drops too much of 24 V while a contactor of the gantry pulls in."""
    plan = planned_text(
        swapped(gantry(), ('size = "1.5 mm²"\nlength = "10 m"', 'size = "0.5 mm²"\nlength = "60 m"'))
    )
    drops = [f for f in plan.report.findings if f.rule == "conductor.coil-drop"]
    failed = [f for f in drops if f.verdict is Verdict.FAIL]
    assert failed
    for one in failed:
        assert finding(planned(GANTRY), "conductor.coil-drop", one.subject).verdict is Verdict.PASS
        assert one.measured is not None and one.limit is not None and one.measured < one.limit


def test_landed_behind_the_limit() -> None:
    """A core landed on the motor side of the upper limit leaves the limit without effect."""
    past = swapped(malt(), ('from = "core:2"\nto = "K10.up:2"', 'from = "hoist:C1.1"\nto = "K10.up:2"'))
    turned(planned_text(past), planned(SECOND), "proof.limits-kept", "hoist up", "up limit open: hoist up")


def test_emergency_stop_taken_out() -> None:
    """Without the wired stop in the feed, what the pendant's stop ended is ended by nothing near."""
    text = malt()
    for start in ('[[device]]\nid = "S1"', '[[stop]]\nid = "S1"', 'from = "X10:1"\nto = "S1:1"',
                  'from = "S1:2"\nto = "S1:3"', 'from = "X10:PE"\nto = "S1:PE"'):  # fmt: skip
        text = text.replace(block(text, start), "")
    text = swapped(text, ('from = "S1:4"\nto = "X10:3"', 'from = "X10:1"\nto = "X10:3"'),
                   (block(text, '[[cable]]\nid = "W2"'), ""), ('conductor = "W2:2"\n', ""))  # fmt: skip
    turned(planned_text(text), planned(SECOND), "proof.stops-kept", "stop:ES", "pendant stop is gone")


def test_edited_after_approval() -> None:
    """An approval of the plan as it was is void once a connection was edited, and says what changed."""
    whole = planned(SECOND)
    names = ("circuit", "ratings", "settings", "catalog")
    parts = ", ".join(f'{name} = "{getattr(whole.parts, name)}"' for name in names)
    approval = (
        f'\n[[approval]]\nby = "licensed electrician"\nlicence = "E-1"\ndigest = "{whole.digest}"\n'
        f"parts = {{ {parts} }}\ndate = 2026-12-01\n"
    )
    signed = planned_text(malt() + approval)
    assert signed.digest == whole.digest
    said = [f for f in signed.report.findings if f.rule == "people.approval"]
    assert all(f.verdict is not Verdict.UNKNOWN for f in said)
    edited = swapped(
        malt() + approval,
        ('from = "receiver:NO1"\nto = "K10.down:21"', 'from = "receiver:NO1"\nto = "K10.up:A1"'),
        (block(malt(), 'from = "K10.down:22"'), ""),
    )
    plan = planned_text(edited)
    void = [f for f in plan.report.findings if f.rule == "people.approval"]
    assert plan.digest != whole.digest
    assert [f.verdict for f in void] == [Verdict.UNKNOWN]
    assert "circuit" in void[0].found


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('title = "Malt hoist, grain loft - second plan"', 'title = "Malt hoist"'),
        ('text = "receiver in an IP55 box"', 'text = "receiver in an IP65 box"'),
        ("date = 2026-11-25", "date = 2026-11-26"),
    ],
)
def test_words_do_not_void_an_approval(old: str, new: str) -> None:
    """Title, date and answers are not part of what was approved: the digest stays."""
    assert planned_text(swapped(malt(), (old, new))).digest == planned(SECOND).digest
