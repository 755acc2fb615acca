"""Hand-made jobs, catalogs and rules for the tests of the runner."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from types import MappingProxyType

from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, compared
from wiring.check.rule import Rule, both, rule
from wiring.model.entry import Catalog, Source, Table
from wiring.model.job import Confirm, Job
from wiring.model.value import Basis, Value


def job(region: str = "us", stage: str = "design", **more: object) -> Job:
    """A job without a hoist or receiver."""
    return Job(file="made.toml", title="made", region=region, stage=stage, **more)  # type: ignore[arg-type]


def catalog(
    basis: Basis = "read", limit: float = 5.0, spread: float = 0.2, practice: bool = False
) -> Catalog:
    """A catalog of one table `t` with one row `r`: limit [A]."""
    low, high = limit * (1 - spread), limit * (1 + spread)
    cell = Value("t/r/limit", limit, "A", basis, "a book", low, high)
    table = Table(
        "t", "made", Source("a book", basis=basis), "both", MappingProxyType({"r": {"limit": cell}})
    )
    return Catalog({}, {}, {}, {}, {"t": table}, {})


def limit_rule(measured: float, **more: object) -> Rule:
    """A rule that compares `measured` amperes with the table's limit."""

    def check(case: Case) -> Iterable[Draft]:
        limit = case.cell("t", "r", "limit")
        found = f"{measured} A"
        yield compared("it", Comparison(measured, limit, "at-most", "A"), found, f"at most {limit} A", "less")

    return made(check, wants="job", **more)


def made(check: Callable[[Case], Iterable[Draft]], **more: object) -> Rule:
    """A rule with its texts filled in."""
    facts: dict[str, object] = {
        "danger": 1,
        "hazard": "h",
        "sources": (both("made up for a test"),),
        "checks": "c",
        "needs": "n",
        "does_not_cover": "d",
        **more,
    }
    identity = str(facts.pop("id", "made.rule"))
    built: Rule = rule(identity, "made", **facts)(check)  # type: ignore[arg-type]
    return built


def confirm(is_: str, second: str | None = None) -> Confirm:
    return Confirm(entry="t/r/limit", is_=is_, by="A. Reader", source="the book, p. 1", second=second)
