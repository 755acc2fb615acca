"""The runner: stages, crashes, missing facts, weak values, confirmations, order and counts."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from tests.check.made import catalog, confirm, job, limit_rule, made
from wiring.check.case import Case
from wiring.check.draft import Draft, Missing, failed, passed, unknown
from wiring.check.rule import Rule, iec, us
from wiring.check.runner import judge
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Verdict
from wiring.model.job import Job
from wiring.model.plan import Report


def run(
    *rules: Rule, of: Job | None = None, using: Catalog | None = None, stage: str | None = None
) -> Report:
    ids = {r.id: r for r in rules}
    return judge(of or job(), using or catalog(), None, None, None, stage, rules=ids)


def only(report: Report) -> Finding:
    assert len(report.findings) == 1
    return report.findings[0]


def test_read_limit_stands() -> None:
    """A pass on a limit that was read stays a pass and rests on nothing."""
    finding = only(run(limit_rule(4.9)))
    assert (finding.verdict, finding.rests_on) == (Verdict.PASS, ())
    assert finding.margin == pytest.approx(0.02)
    assert finding.values == ("t/r/limit = 5 A (read: a book)",)


def test_recalled_limit_turns_a_narrow_pass_into_unknown() -> None:
    """A pass that a recalled limit could undo is unknown and names the confirmation."""
    finding = only(run(limit_rule(4.9), using=catalog("memory")))
    assert finding.verdict is Verdict.UNKNOWN
    assert finding.rests_on == ("t/r/limit",)
    assert '[[confirm]] entry = "t/r/limit"' in finding.remedy


def test_recalled_limit_leaves_a_wide_pass() -> None:
    """A pass that the whole spread of a recalled limit allows stands."""
    assert only(run(limit_rule(3.9), using=catalog("memory"))).verdict is Verdict.PASS


def test_recalled_limit_leaves_a_fail_marked() -> None:
    """A fail on a recalled limit stays a fail and says that the limit is recalled."""
    finding = only(run(limit_rule(5.5), using=catalog("memory")))
    assert (finding.verdict, finding.rests_on) == (Verdict.FAIL, ("t/r/limit",))
    assert "recalled" in finding.found and finding.basis == "memory"


@pytest.mark.parametrize("measured", [4.9, 5.5])
def test_placeholder_answers_nothing(measured: float) -> None:
    """Pass and fail on a placeholder both become unknown, naming the key to state."""
    finding = only(run(limit_rule(measured), using=catalog("placeholder", spread=0.5)))
    assert finding.verdict is Verdict.UNKNOWN
    assert '[[value]] of = "t/r/limit"' in finding.remedy


def test_practice_is_worded_and_listed() -> None:
    """A verdict on common practice stands, with that basis and the value listed."""
    finding = only(run(limit_rule(4.9), using=catalog("practice")))
    assert (finding.verdict, finding.basis, finding.rests_on) == (Verdict.PASS, "practice", ("t/r/limit",))


def test_confirmation_needs_a_second_name_at_danger_one() -> None:
    """A confirmation with one name cannot lift a danger 1 rule; with two it does, difference shown."""
    one = only(run(limit_rule(4.9), of=job(confirms=(confirm("5.5 A"),)), using=catalog("memory")))
    assert one.verdict is Verdict.UNKNOWN
    assert "second name" in one.values[0]
    two = only(run(limit_rule(5.4), of=job(confirms=(confirm("5.5 A", "B."),)), using=catalog("memory")))
    assert (two.verdict, two.limit) == (Verdict.PASS, 5.5)
    assert "the catalog has 5 A" in two.values[0]


def test_confirmation_of_danger_three_needs_one_name() -> None:
    """Danger 3 takes a confirmation by one person."""
    finding = only(
        run(limit_rule(4.9, danger=3), of=job(confirms=(confirm("5 A"),)), using=catalog("memory"))
    )
    assert finding.verdict is Verdict.PASS


def test_confirmation_in_another_unit_is_converted() -> None:
    """A figure confirmed in milliamperes is the same figure; in volts it is none."""
    good = job(confirms=(confirm("5500 mA", "B."),))
    bad = job(confirms=(confirm("5.5 V", "B."),))
    assert only(run(limit_rule(5.4), of=good, using=catalog("memory"))).limit == 5.5
    assert only(run(limit_rule(4.9), of=bad, using=catalog("memory"))).verdict is Verdict.UNKNOWN


def test_crash_is_unknown_with_the_reason() -> None:
    """A rule that breaks gives one unknown with the reason, and the others still answer."""

    def breaks(case: Case) -> Iterable[Draft]:
        raise ZeroDivisionError("by zero")

    report = run(made(breaks, wants="job", id="a.broken"), limit_rule(1.0))
    assert {f.rule: f.verdict for f in report.findings} == {
        "a.broken": Verdict.UNKNOWN,
        "made.rule": Verdict.PASS,
    }
    assert "by zero" in report.findings[0].found


def test_one_subject_that_lacks_a_fact_keeps_the_others() -> None:
    """A missing fact makes its own subject unknown, naming key and how to find it."""

    def check(case: Case) -> Iterable[Draft]:
        def one(subject: str, present: bool) -> Draft:
            if not present:
                raise Missing("cable.W1.size", "read it on the jacket")
            return passed(subject, "fine")

        yield from case.each([("a", True), ("b", False), ("c", True)], one)

    findings = {f.subject: f for f in run(made(check, wants="job")).findings}
    assert [findings[s].verdict for s in "abc"] == [Verdict.PASS, Verdict.UNKNOWN, Verdict.PASS]
    assert "cable.W1.size" in findings["b"].found and findings["b"].remedy == "read it on the jacket"


def test_no_subject_gives_one_not_applicable() -> None:
    """A rule without a subject says so once."""
    assert only(run(made(lambda case: (), wants="job"))).verdict is Verdict.NOT_APPLICABLE


def test_rule_of_the_other_region_is_not_applicable() -> None:
    """A rule with no clause in the job's region is not applicable; a shared one shows its region alone."""
    both_regions = (us("NEC clause"), iec("IEC clause"))
    rule = made(lambda case: [passed("it", "x")], wants="job", sources=both_regions)
    assert only(run(rule, of=job("us"))).source == "NEC clause"
    assert only(run(rule, of=job("iec"))).source == "IEC clause"
    us_only = made(lambda case: [passed("it", "x")], wants="job", sources=(us("NEC clause"),))
    assert only(run(us_only, of=job("iec"))).verdict is Verdict.NOT_APPLICABLE


def test_unknown_hoist_names_the_next_step() -> None:
    """Without a hoist type a rule that needs the circuit names what to find out."""
    finding = only(run(made(lambda case: [passed("it", "x")])))
    assert finding.verdict is Verdict.UNKNOWN
    assert "type" in finding.found and "identify" in finding.remedy


def test_later_rule_is_to_show_and_not_counted() -> None:
    """A rule due later is listed to show, outside the counts and the verdict."""
    later = made(
        lambda case: [unknown("it", "not yet", "a review")], wants="job", id="b.later", stage="installed"
    )
    report = run(limit_rule(1.0), later)
    assert (report.verdict, report.counts.unknown, report.rules_run) == (Verdict.PASS, 0, 1)
    assert [f.rule for f in report.to_show] == ["b.later"]
    at_installed = run(limit_rule(1.0), later, stage="installed")
    assert (at_installed.verdict, at_installed.to_show) == (Verdict.UNKNOWN, ())


def test_defect_of_the_hoist_as_found_does_not_fail_the_plan() -> None:
    """Findings about the pendant are counted apart, except identity.as-found."""

    def before(case: Case) -> Iterable[Draft]:
        yield failed("it", "x", "y", "z", about="before")

    report = run(made(before, wants="job"))
    assert (report.verdict, report.counts.failed, report.counts_before.failed) == (Verdict.PASS, 0, 1)
    as_found = run(made(before, wants="job", id="identity.as-found"))
    assert (as_found.verdict, as_found.counts.failed) == (Verdict.FAIL, 1)


def test_order_is_verdict_danger_margin() -> None:
    """Fails before unknowns before passes; danger first, then no margin, then the smallest."""

    def check(case: Case) -> Iterable[Draft]:
        yield passed("p", "x")
        yield unknown("u", "x", "y")
        yield Draft("wide", Verdict.FAIL, "x", margin=-0.1)
        yield Draft("narrow", Verdict.FAIL, "x", margin=-0.5)
        yield failed("none", "x", "y")
        yield failed("papers", "x", "y", danger=4)

    order = [f.subject for f in run(made(check, wants="job", danger=2)).findings]
    assert order == ["none", "narrow", "wide", "papers", "u", "p"]


def test_two_values_that_decide_only_together() -> None:
    """Where no single weak value changes the verdict but both do, both are named."""
    from dataclasses import replace
    from types import MappingProxyType

    base = catalog("memory", 2.0, 0.2)
    cell = base.tables["t"].rows["r"]["limit"]
    assert not isinstance(cell, str | bool)
    rows = MappingProxyType({"r": {"limit": cell, "more": replace(cell, id="t/r/more")}})
    two = replace(base, tables={"t": replace(base.tables["t"], rows=rows)})

    def check(case: Case) -> Iterable[Draft]:
        from wiring.check.draft import Comparison, compared

        limit = case.cell("t", "r", "limit") + case.cell("t", "r", "more")
        yield compared("it", Comparison(3.5, limit, "at-most", "A"), "3.5 A", "less")

    finding = only(run(made(check, wants="job"), using=two))
    assert finding.verdict is Verdict.UNKNOWN
    assert finding.rests_on == ("t/r/limit", "t/r/more")
