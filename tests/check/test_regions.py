"""The same physical job in both regions: each region's clauses, none of the other's."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.check.test_rests_on import facts
from tests.check.test_rules import IEC, US
from wiring.check import RULES
from wiring.check.runner import answer, value_line


@pytest.mark.parametrize(("region", "other"), [("us", IEC), ("iec", US)])
@pytest.mark.parametrize("base", ["malt", "gantry"])
def test_clauses_and_tables(base: str, region: str, other: object) -> None:
    """Sources of findings and of the values behind them belong to the job's region."""
    given = facts(base)
    country = "US" if region == "us" else "DE"
    given = replace(given, job=replace(given.job, region=region, country=country), cache={})
    tables = {t.id: t.region for t in given.catalog.tables.values()}
    for rule in RULES.values():
        for outcome in answer(rule, given):
            source = outcome.draft.source or (rule.source_for(region) if region in rule.regions else "")
            assert not other.search(source), (rule.id, source)  # type: ignore[attr-defined]
            for value in outcome.values:
                table = value.id.partition("/")[0]
                if table.startswith("copper-"):
                    continue  # a wire is sized in the system that stands on its jacket
                where = tables.get(table, "both") if "/" in value.id else "both"
                assert where in (region, "both"), (rule.id, value_line(value))
