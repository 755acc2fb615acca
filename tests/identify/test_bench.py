"""The bench test of a receiver alone: order, answers, objections, what goes into the job."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest

from tests.identify.made import CATALOG
from wiring.cli import main
from wiring.files import load_job
from wiring.identify import BenchSession
from wiring.identify.bench_net import joined, pair_of, splits
from wiring.identify.reply import ReplyError
from wiring.model.job import Job, ReceiverFacts, ReceiverOutput, Transmitter

RECEIVERS = sorted(CATALOG.receivers)
TEXT = """[job]
title = "bench"
region = "us"
stage = "design"

[receiver]
type = "two-channel-dry"

[[receiver.output]]
id = "CH1"
key = "up"
[[receiver.output]]
id = "CH2"
key = "down"  # printed B
"""


def bench(type_id: str | None = "two-channel-dry", **keys: str) -> BenchSession:
    """A bench session; keys: output id to key."""
    outputs = tuple(ReceiverOutput(id, key) for id, key in (keys or {"CH1": "up", "CH2": "down"}).items())
    facts = ReceiverFacts(type=type_id, outputs=outputs)
    return BenchSession.start(Job("", "", "us", "design", receiver=facts), CATALOG)


GOOD = {"bare": "yes", "jumper": "no", "closed": "0.2", "split": "OL", "rest": "opens", "key": "closes",
        "release": "opens", "battery-out": "opens < 1 s", "supply-return": "opens",
        "supply-return-held": "opens", "opposite": "stays", "range": "opens 0.6 s"}  # fmt: skip


def through(session: BenchSession, **other: str) -> BenchSession:
    """The session to its end. other: answer by test name with underscores, or by step name."""
    for _ in range(200):
        wanted = session.wanted()
        if wanted is None:
            return session
        name = wanted.step.name.replace(" ", "_").replace("-", "_")
        kind = wanted.test.replace("-", "_")
        session = session.answer(wanted.step, other.get(name, other.get(kind, GOOD.get(wanted.test, ""))))
    raise AssertionError("the session does not end")


def test_nothing_before_the_receiver_is_bare() -> None:
    """The first question is whether anything is connected, and only yes opens the rest."""
    session = bench()
    wanted = session.wanted()
    assert wanted is not None and wanted.test == "bare"
    with pytest.raises(ReplyError, match="nothing is connected"):
        session.answer(wanted.step, "no")


def test_dead_before_powered() -> None:
    """Every reading of the dead receiver comes before the first step that switches it on."""
    kinds = [step.kind for step in bench().steps]
    assert kinds.index("bench") > max(
        i for i, kind in enumerate(kinds) if kind in ("closed", "split", "jumper")
    )


def test_a_good_receiver_ends_complete() -> None:
    """A receiver that does everything right leaves no objection and a row for every test of each output."""
    done = through(bench())
    assert done.complete and done.objections() == ()
    rows = {(row.test, row.output) for row in done.results}
    for output in ("CH1", "CH2"):
        assert {test for test, id in rows if id == output} >= {
            "rest", "key", "release", "battery-out", "supply-return", "supply-return-held", "opposite",
        }  # fmt: skip


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ({"rest_CH1": "closes"}, "CH1 is closed at rest"),
        ({"release_CH2": "stays"}, "CH2 stays at release"),
        ({"battery_out_CH1": "stays"}, "CH1 stays at battery-out"),
        ({"supply_return_CH1": "closes"}, "CH1 comes back closed at supply-return"),
        ({"supply_return_held_CH2": "closes"}, "CH2 comes back closed at supply-return-held"),
        ({"key_CH1": "opens"}, "CH1 opens when its key is held"),
        ({"split_1": "0.3"}, "should be apart when dead, and read 0.3"),
        ({"closed": "OL"}, "COM1 and NC1 should be joined when dead, and read OL"),
        ({"range": "stays"}, "CH1 stays at range"),
    ],
)
def test_each_bad_answer_is_an_objection(answer: dict[str, str], says: str) -> None:
    """Each way a receiver can be wrong is named."""
    done = through(bench(), **answer)
    assert any(says in line for line in done.objections()), done.objections()


@pytest.mark.parametrize("id", RECEIVERS)
def test_every_two_groups_are_split_once(id: str) -> None:
    """The few readings of the dead receiver put every two groups of terminals once on opposite leads."""
    groups = joined(CATALOG.receivers[id], (), {})
    rounds = splits(groups)
    for one, two in combinations(groups, 2):
        assert any((one[0] in a) != (two[0] in a) for a, b in rounds)
    for a, b in rounds:
        assert sorted((*a, *b)) == sorted(name for group in groups for name in group)


@pytest.mark.parametrize("id", RECEIVERS)
def test_every_output_has_its_pair(id: str) -> None:
    """Every output of every receiver type works two terminals, powered ones marked."""
    receiver = CATALOG.receivers[id]
    for output in receiver.outputs:
        pair = pair_of(receiver, output.id, {})
        assert pair is not None and pair.a != pair.b
    if id == "two-channel-fed":
        assert pair_of(receiver, "CH1", {}).powered  # type: ignore[union-attr]
    if id == "two-channel-dry":
        assert not pair_of(receiver, "CH1", {}).powered  # type: ignore[union-attr]


def test_reversing_relay_works_different_terminals() -> None:
    """A direction relay leads the same run contact to UP or to DOWN."""
    receiver = CATALOG.receivers["reversing-relay"]
    ends = [{pair.a, pair.b} for id in ("KEY_UP", "KEY_DOWN") if (pair := pair_of(receiver, id, {}))]
    assert ends == [{"L", "UP"}, {"L", "DOWN"}]


def test_jumper_changes_what_must_be_joined() -> None:
    """With J1 in, the stop pair's end and the motion common are one; with it out they are apart."""
    receiver = CATALOG.receivers["six-channel-stop-pair"]
    fitted = next(group for group in joined(receiver, (), {"J1": True}) if "5" in group)
    out = next(group for group in joined(receiver, (), {"J1": False}) if "5" in group)
    assert "8" in fitted and "8" not in out


def test_stop_outputs_open_on_their_key() -> None:
    """A stop output is closed at rest after START and opens on the stop key, without objection."""
    session = bench("six-channel-stop-pair", UP="up", DOWN="down")
    answers = {"rest_STOP1": "closes", "rest_STOP2": "closes", "key_STOP1": "opens", "key_STOP2": "opens"}
    done = through(session, jumper="0.1", **answers)
    assert done.complete and done.objections() == () and dict(done.jumpers) == {"J1": True}
    step = next(s for s in session.steps if s.name == "key UP")
    from wiring.identify.bench_words import do_text

    assert "START" in do_text(step, True)


def test_a_key_without_output_is_looked_for() -> None:
    """A transmitter key whose output nobody named is asked for, by output or by its terminals."""
    session = bench(CH1="up")
    session = BenchSession.start(
        replace(session.job, transmitters=(Transmitter("T1", ("up", "down")),)), CATALOG
    )
    assert session.setting.keys == ("down",)
    done = through(session, which_down="COM2 NO2")
    assert dict(done.found) == {"down": "CH2"} and done.complete
    assert through(session, which_down="none").objections()


def test_a_receiver_of_no_known_type() -> None:
    """Without a type each key's terminals are asked for, and the tests are filed under them."""
    job = Job("", "", "us", "design", transmitters=(Transmitter("T1", ("up",)),))
    done = through(BenchSession.start(job, CATALOG), which_up="A B")
    assert {row.output for row in done.results} == {"A-B"} and done.complete


@pytest.mark.parametrize(
    ("typed", "seconds", "bound"),
    [("opens 0.4 s", 0.4, False), ("opens < 1 s", 1.0, True), ("opens under 1 s", 1.0, True),
     ("opens 300 ms", 0.3, False), ("opens 0,5 s", 0.5, False)],
)  # fmt: skip
def test_times_are_read(typed: str, seconds: float, bound: bool) -> None:
    """A time by film and an upper bound by counting are both taken."""
    done = through(bench(), battery_out_CH1=typed)
    row = next(row for row in done.results if row.test == "battery-out" and row.output == "CH1")
    assert row.time is not None and row.time.si == pytest.approx(seconds) and row.at_most is bound


@pytest.mark.parametrize("typed", ["maybe", "opens soon", "closes", "opens 4"])
def test_answers_that_are_none(typed: str) -> None:
    """An answer that the test cannot have is refused with what it can have."""
    session = bench()
    step = next(s for s in session.steps if s.name == "battery-out CH1")
    with pytest.raises(ReplyError, match="allowed"):
        session.answer(step, typed)


def test_skipped_is_not_complete() -> None:
    """A step that was skipped keeps the bench test open."""
    done = through(bench(), range="skip")
    assert done.wanted() is None and not done.complete and done.skipped == {"range CH1"}


def test_command_writes_and_finishes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A whole bench test from a pipe is exit 0, rows and jumper in the file; read again it is done."""
    path = tmp_path / "b.toml"
    path.write_text(TEXT, "utf-8")
    session = BenchSession.start(load_job(path), CATALOG)
    lines = []
    while (wanted := session.wanted()) is not None:
        lines.append(GOOD[wanted.test])
        session = session.answer(wanted.step, lines[-1])
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(lines) + "\n"))
    assert main(["bench-test", str(path), "--write", "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)
    job = load_job(path)
    assert shown["complete"] and len(job.bench) == len(shown["results"]) and "# printed B" in path.read_text()
    assert [(j.id, j.fitted) for j in job.receiver.jumpers] == [("J1", False)]
    bound = next(row for row in job.bench if row.test == "battery-out")
    assert bound.at_most and bound.time is not None and bound.time.si == 1.0
    assert [step.kind for step in BenchSession.start(job, CATALOG).steps if step.name == "bare"] == ["bare"]
    wanted = BenchSession.start(job, CATALOG).wanted()
    assert wanted is not None and wanted.test == "bare"
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\n"))
    assert main(["bench-test", str(path)]) == 0


def test_command_unfinished_is_exit_3(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two answers of many: exit 3."""
    path = tmp_path / "b.toml"
    path.write_text(TEXT, "utf-8")
    monkeypatch.setattr("sys.stdin", io.StringIO("yes\nno\n"))
    assert main(["bench-test", str(path)]) == 3
