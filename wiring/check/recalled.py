"""The recalled values behind a report, for a person with the books to read up and sign.

A value is listed where a finding used it, whether or not the verdict rests on
it: what decides comes first. Confirmed ones stay on the list with both numbers.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from wiring.check.confirm import number_of, objection
from wiring.model.entry import Catalog
from wiring.model.finding import Finding
from wiring.model.job import Job
from wiring.model.plan import Report
from wiring.model.recalled import Recalled
from wiring.model.value import Value, certain

#: A value as `runner.value_line` prints it.
_LINE = re.compile(
    r"(?P<id>.+?) = (?P<number>\S+) (?P<unit>.*?) ?\((?P<basis>[a-z]+): (?P<source>.*)\)", re.DOTALL
)

#: A figure of a type's entry is no table cell that a [[confirm]] could name.
OWN_FILE = "to read, and to enter in a type file of your own beside the job"


@dataclass(slots=True)
class _Use:
    """A value and the rules it was used by, while the findings are read."""

    value: Value
    rules: list[str] = field(default_factory=list)
    decides: list[str] = field(default_factory=list)
    danger: int = 4


def recalled(job: Job, catalog: Catalog, report: Report) -> tuple[Recalled, ...]:
    """Every recalled value that a finding used or rests on, due now or later; deciding ones first."""
    uses: dict[str, _Use] = {}
    for finding in (*report.findings, *report.to_show):
        for line in finding.values:
            value = _read(line, catalog)
            if value is not None and value.basis == "memory":
                _note(uses.setdefault(value.id, _Use(value)), finding)
    rows = [_row(use, job, catalog) for use in uses.values()]
    return tuple(sorted(rows, key=lambda r: (not r.decides, r.danger, r.id)))


def _read(line: str, catalog: Catalog) -> Value | None:
    """The value of a finding's line: the catalog's own where it is a table cell, confirmed or not."""
    found = _LINE.fullmatch(line)
    if found is None:
        return None
    own = catalog.value(found["id"])
    if own is not None:
        return own
    if found["basis"] != "memory":
        return None
    return certain(found["id"], float(found["number"]), found["unit"], "memory", found["source"])


def _note(use: _Use, finding: Finding) -> None:
    if finding.rule not in use.rules:
        use.rules.append(finding.rule)
    if use.value.id in finding.rests_on and finding.rule not in use.decides:
        use.decides.append(finding.rule)
    use.danger = min(use.danger, finding.danger)


def _row(use: _Use, job: Job, catalog: Catalog) -> Recalled:
    """One row of the list, with the confirmation that holds, or the last that does not."""
    value = use.value
    row = Recalled(
        value.id, value.si, value.unit, value.source, _about(value.id, catalog),
        tuple(use.rules), tuple(use.decides), use.danger, "to read" if "/" in value.id else OWN_FILE,
    )  # fmt: skip
    for confirm in job.confirms:
        if confirm.entry != value.id:
            continue
        why = objection(confirm, value, use.danger)
        row = replace(
            row, state=why or "confirmed", theirs=number_of(confirm.is_, value.unit), by=confirm.by or "",
            second=confirm.second or "", place=confirm.source or "",
        )  # fmt: skip
        if not why:
            break
    return row


def _about(id: str, catalog: Catalog) -> str:
    """What the cell is, in the words of its table; "" outside the tables."""
    table, _, rest = id.partition("/")
    row, _, column = rest.rpartition("/")
    found = catalog.tables.get(table)
    if found is None:
        return ""
    words = (found.title, str(found.rows.get(row, {}).get("about", "")), found.titles.get(column, ""))
    return "; ".join(word for word in words if word)
