"""The same physical job in both regions: each region's clauses, none of the other's."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.check.test_rests_on import facts
from tests.check.test_rules import IEC, US
from wiring.check import RULES
from wiring.check.runner import answer, value_line

#: Clauses as findings cite them, without the name of their book.
US_CLAUSES = re.compile(r"\b(240\.4\(|310\.1[56]|400\.5\(|402\.5\b|430\.\d\d|450\.3\(|610\.\d\d|19(10|26)\.)")


@pytest.mark.parametrize(("region", "other"), [("us", IEC), ("iec", US), ("iec", US_CLAUSES)])
@pytest.mark.parametrize("base", ["malt", "gantry", "winch", "two-line", "drive"])
def test_clauses_and_tables(base: str, region: str, other: re.Pattern[str]) -> None:
    """Sources and words of findings, and the values behind them, belong to the job's region."""
    given = facts(base)
    country = "US" if region == "us" else "DE"
    given = replace(given, job=replace(given.job, region=region, country=country), cache={})
    tables = {t.id: t.region for t in given.catalog.tables.values()}
    for rule in RULES.values():
        for outcome in answer(rule, given):
            source = outcome.draft.source or (rule.source_for(region) if region in rule.regions else "")
            draft = outcome.draft
            told = " ".join((source, draft.found, draft.wanted, draft.path, *draft.remedies))
            assert not other.search(told), (rule.id, told)
            for value in outcome.values:
                table = value.id.partition("/")[0]
                if table.startswith("copper-"):
                    continue  # a wire is sized in the system that stands on its jacket
                where = tables.get(table, "both") if "/" in value.id else "both"
                assert where in (region, "both"), (rule.id, value_line(value))
