"""Recalled figures: the list to fill in, and when a confirmation counts."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.check.made import catalog, job, limit_rule
from wiring import load_job, plan, recalled, recalled_csv, recalled_text
from wiring.check.recalled import recalled as listed
from wiring.check.runner import judge
from wiring.cli.entry import run
from wiring.files import catalog_root
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Confirm
from wiring.model.plan import Plan, Report
from wiring.model.recalled import Recalled

DEMO = Path(str(catalog_root())) / "demo"
READ = Confirm("t/r/limit", "5.5 A", by="A. Reader", source="the book, p. 1", second="B. Reader")


@cache
def planned(name: str) -> Plan:
    return plan(load_job(DEMO / f"{name}.toml"))


def judged(
    *confirms: Confirm, measured: float = 5.4, danger: int = 1, using: Catalog | None = None
) -> tuple[Report, tuple[Recalled, ...]]:
    """A rule with a recalled limit of 5 A on a job with these confirmations, and the list of it."""
    using = using or catalog("memory")
    of = job(confirms=confirms)
    rule = limit_rule(measured, danger=danger)
    report = judge(of, using, None, None, None, rules={rule.id: rule})
    return report, listed(of, using, report)


def only(report: Report) -> Finding:
    assert len(report.findings) == 1
    return report.findings[0]


@pytest.mark.parametrize("name", ["malt-first-try", "malt-second-plan", "slipway-gantry"])
def test_every_recalled_value_of_a_demo_is_listed(name: str) -> None:
    """The list holds each recalled value that a finding uses or rests on, once, with its table's number."""
    given = planned(name)
    rows = recalled(given)
    used = {v.partition(" = ")[0] for f in (*given.report.findings, *given.report.to_show) for v in f.values
            if "(memory: " in v}  # fmt: skip
    assert used and {r.id for r in rows} == used and len(rows) == len(used)
    for row in rows:
        deciding = {f.rule for f in given.report.findings if row.id in f.rests_on}
        assert set(row.decides) == deciding and row.rules
        value = given.catalog.value(row.id)
        if value is None:  # a figure of a type, which no [[confirm]] can name
            assert "type file of your own" in row.state and "/" not in row.id
            continue
        assert (row.ours, row.unit, row.source) == (value.si, value.unit, value.source) and row.about
        assert row.state == "to read"


def test_what_decides_comes_first() -> None:
    """Values that a verdict rests on stand before those that only entered a figure."""
    order = [not r.decides for r in recalled(planned("malt-second-plan"))]
    assert order == sorted(order) and not order[0]


def test_values_that_were_read_are_not_listed() -> None:
    """A limit that was read in its source needs no confirmation."""
    _, rows = judged(using=catalog("read"))
    assert rows == ()


def test_unconfirmed_value() -> None:
    """Without a confirmation the state is to read, and danger 1 needs two names."""
    report, (row,) = judged(measured=4.9)
    assert (row.state, row.theirs, row.names, row.decides) == ("to read", None, 2, ("made.rule",))
    assert only(report).verdict is Verdict.UNKNOWN


def test_their_number_replaces_ours_and_the_difference_is_shown() -> None:
    """5.4 A passes on the 5.5 A that two people read, and the list shows ours beside it."""
    report, (row,) = judged(READ)
    finding = only(report)
    assert (finding.verdict, finding.limit, finding.rests_on) == (Verdict.PASS, 5.5, ())
    assert (row.state, row.ours, row.theirs, row.differs) == ("confirmed", 5.0, 5.5, pytest.approx(0.1))
    assert (row.by, row.second, row.place) == ("A. Reader", "B. Reader", "the book, p. 1")


def test_a_stricter_number_fails_what_ours_let_pass() -> None:
    """A confirmation counts in both directions."""
    report, _ = judged(replace(READ, is_="4.5 A"), measured=4.9)
    assert (only(report).verdict, only(report).limit) == (Verdict.FAIL, 4.5)


@pytest.mark.parametrize(
    ("danger", "second", "holds"),
    [(1, None, False), (2, None, False), (3, None, True), (4, None, True), (1, "B. Reader", True),
     (2, "a.  reader", False), (1, "", False), (3, "A. Reader", True)],
)  # fmt: skip
def test_second_name(danger: int, second: str | None, holds: bool) -> None:
    """Danger 1 and 2 need a second name, and the same name twice is one name."""
    report, (row,) = judged(replace(READ, second=second), danger=danger)
    assert (only(report).limit == 5.5) is holds
    assert (row.state == "confirmed") is holds
    if not holds:
        assert "second name" in row.state and "second name" in only(report).values[0]


@pytest.mark.parametrize(
    ("ours", "holds"), [(None, True), ("5 A", True), ("5000 mA", True), ("5.1 A", False), ("6 A", False)]
)
def test_void_when_the_entry_changed(ours: str | None, holds: bool) -> None:
    """A confirmation given while the entry said another number is void and says so."""
    report, (row,) = judged(replace(READ, ours=ours))
    assert (only(report).limit == 5.5) is holds
    assert (row.state == "confirmed") is holds
    if not holds:
        assert "void" in row.state and str(ours) in only(report).values[0]


@pytest.mark.parametrize("gap", [{"by": None}, {"source": None}, {"is_": "5.5 V"}, {"is_": "five"}])
def test_incomplete_confirmation_does_not_hold(gap: dict[str, str | None]) -> None:
    """Without a reader, a place or a number of the unit ours stands, and the state says what is missing."""
    report, (row,) = judged(replace(READ, **gap), measured=4.9)  # type: ignore[arg-type]
    assert only(report).verdict is Verdict.UNKNOWN and only(report).limit == 5.0
    assert row.state not in ("confirmed", "to read")


def test_a_later_row_that_holds_counts() -> None:
    """An incomplete row does not stand in the way of a complete one."""
    report, (row,) = judged(replace(READ, second=None), READ)
    assert only(report).limit == 5.5 and row.state == "confirmed"


def test_another_entry_is_not_confirmed() -> None:
    """A confirmation belongs to its own entry."""
    report, (row,) = judged(replace(READ, entry="t/r/other"))
    assert only(report).limit == 5.0 and row.state == "to read"


def test_confirmation_in_a_demo_lifts_the_unknown() -> None:
    """The one recalled limit that decides in the second plan, confirmed by two, rests on nothing more."""
    given = planned("malt-second-plan")
    entry = recalled(given)[0]
    assert entry.decides == ("contact.short-circuit",)
    confirm = Confirm(entry.id, "1000 A", by="A", source="the standard, table 7", second="B", ours="1000 A")
    again = plan(replace(given.job, confirms=(confirm,)))
    assert again.digest == given.digest
    short = [f for f in again.report.findings if f.rule == "contact.short-circuit"]
    assert all(entry.id not in f.rests_on for f in short)
    assert [r.state for r in recalled(again) if r.id == entry.id] == ["confirmed"]


def test_text_has_room_to_fill_in() -> None:
    """Each open value has its address, number and blanks; a confirmed one shows both numbers instead."""
    given = planned("malt-second-plan")
    rows = recalled(given)
    text = recalled_text(given, rows)
    assert max(map(len, text.splitlines())) <= 80
    assert all(f"{r.id} = " in text for r in rows)
    for word in ("edition", "page", "number read", "by", "second"):
        assert text.count(f"{word} ____") == len(rows)
    done = [replace(rows[0], state="confirmed", theirs=900.0, by="A", second="B", place="p. 3"), *rows[1:]]
    assert "900 A, -10.0 % from ours, by A and B, p. 3" in recalled_text(given, done)


def test_csv_reads_back() -> None:
    """The CSV has one row a value and the columns to fill in; no cell begins a formula."""
    given = planned("slipway-gantry")
    rows = recalled(given)
    lines = recalled_csv(given, [replace(rows[0], by="=1+1"), *rows[1:]]).splitlines()
    table = list(csv.DictReader(line for line in lines if not line.startswith(("#", '"#'))))
    assert [r["entry"] for r in table] == [r.id for r in rows]
    assert {"ours", "unit", "edition", "page", "number read", "by", "second"} <= set(table[0])
    assert not table[0]["by"].startswith("=")


def test_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--recalled prints the list or one document, writes the CSV asked for, and keeps the verdict's code."""
    file, out = str(DEMO / "malt-second-plan.toml"), tmp_path / "fill-in.csv"
    assert run(["check", file, "--faults", "none", "--recalled", str(out), "--json"]) == 3
    told = json.loads(capsys.readouterr().out)
    assert told["schema"] == "holdrun/recalled/1"
    assert all(r["state"].startswith("to read") and r["theirs"] is None for r in told["rows"])
    assert out.read_text("utf-8").count("to read") == len(told["rows"])
    assert run(["check", "--faults", "none", "--recalled", file, "--json"]) == 3
    assert json.loads(capsys.readouterr().out) == told
    assert run(["check", file, "--recalled", "other.toml"]) == 2
    assert ".csv" in capsys.readouterr().err
