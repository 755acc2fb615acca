"""A job file to a `Job`, or every reason why not."""

from __future__ import annotations

from pathlib import Path
from types import MappingProxyType
from typing import Any

from wiring.files.catalog import load_catalog
from wiring.files.explain import validate
from wiring.files.fields import freeze
from wiring.files.job_format import BenchBlock, JobFile, PendantBlock, ReceiverFactsBlock, RemoveBlock
from wiring.files.job_names import check_names
from wiring.files.lines import Lines
from wiring.files.problems import InputError, Reporter, counted
from wiring.files.text import read_text, read_toml, without_unknown
from wiring.files.write import stamp_of
from wiring.model.entry import Catalog
from wiring.model.finding import Problem
from wiring.model.job import BenchResult, Job, Pendant, ReceiverFacts, Remove

#: Keys that other keys point at: where one of them is wrong, names are not judged.
_NAMING = frozenset(("id", "type", "order", "role", "from", "to", "conductor", "wire", "part"))

#: Entries of a list that a hoist can have and still be planned in a few seconds; other lists have the
#: limit of every list (`text.LIMIT_ENTRIES`).
LIMITS = {
    "core": 60, "device": 40, "cable": 60, "connection": 300, "stop": 20, "transmitter": 8, "remove": 100,
}  # fmt: skip
#: Coils of the hoist and the devices together: which moves first is tried in more than one order.
MOST_COILS = 32


def load_job(path: Path | str, catalog: Catalog | None = None) -> Job:
    """The job in a file. Raises InputError with every problem; never writes.

    Form and names are checked, sense is not: a core without role, two cores with
    one role or an end that lands nowhere load well and are findings later.
    """
    path = Path(path)
    return read_job(read_text(path), str(path), catalog or load_catalog(path.parent))


def read_job(text: str, file: str, catalog: Catalog) -> Job:
    """The job in a text that is, or will be, the file of that name. Raises InputError."""
    name = Path(file).name
    data, lines = read_toml(text, name)
    _another_kind(data, name)
    data = without_unknown(data)
    site = Reporter(name, lines)
    counted(data, LIMITS, site)
    block, problems = validate(JobFile, data, name, lines)
    site.problems.extend(problems)
    if block is None:
        block = _without_wrong(data, problems, name, lines)
    if block is not None:
        _one_of_two(block.remove, site)
        if not site.problems or _names_can_be_judged(site.problems):
            job = _job(block, file, lines)
            check_names(job, catalog, site)
            if not site.problems:
                _coils(job, catalog, site)
    site.finish()
    assert block is not None  # without a block there were problems
    return _job(block, file, lines, stamp_of(text))


def _another_kind(data: Any, name: str) -> None:
    """Raises InputError with one problem for a catalog entry given as a job, not one for each of its keys."""
    if isinstance(data, dict) and "job" not in data and "id" in data and "source" in data:
        found = f"a catalog entry, {str(data['id'])[:60]!r}"
        allowed = "a job file with a [job] table (an entry is linted by holdrun catalog check)"
        raise InputError([Problem(name, 1, "file", found, allowed)])


def _without_wrong(data: Any, problems: list[Problem], name: str, lines: Lines) -> JobFile | None:
    """The job without its wrong keys, and with stand-ins for the few it must have, so that its names
    can be judged in the same run; None if it does not stand without them."""
    for problem in problems:
        here = data
        *steps, last = problem.key.split(".")
        for step in steps:
            here = here[int(step)] if isinstance(here, list) else here.get(step, {})
        if isinstance(here, dict):
            here.pop(last, None)
    if isinstance(data.get("job", {}), dict):
        data["job"] = {"title": "-", "region": "us", "stage": "design", **data.get("job", {})}
    return validate(JobFile, data, name, lines)[0]


def _names_can_be_judged(problems: list[Problem]) -> bool:
    keys = [problem.key.split(".") for problem in problems]
    return all(len(key) > 1 and not _NAMING.intersection(key) for key in keys)


def _coils(job: Job, catalog: Catalog, site: Reporter) -> None:
    """Notes more coils than can be settled in every order that they can move in."""
    types = [catalog.hoists[job.hoist.type]] if job.hoist.type else []
    nets = [each.net for each in types] + [catalog.devices[d.type].net for d in job.devices if d.type]
    coils = sum(part.kind == "coil" for net in nets for part in net.parts)
    if coils > MOST_COILS:
        site.problem("device", f"{coils} coils, the hoist's among them", f"at most {MOST_COILS} in a job")


def _one_of_two(removes: list[RemoveBlock], site: Reporter) -> None:
    for n, row in enumerate(removes):
        if (row.wire is None) == (row.part is None):
            found = "both" if row.wire else "neither"
            site.problem(f"remove.{n}", found, 'one of wire = "hoist:..." and part = "hoist:..."')


def _job(block: JobFile, file: str, lines: Lines, stamp: str = "") -> Job:
    """The frozen job of a checked block."""
    head = block.job
    return Job(
        file=file,
        title=head.title,
        region=head.region,
        stage=head.stage,
        country=head.country,
        people=head.people,
        revision=head.revision,
        date=head.date,
        prepared_by=head.prepared_by,
        example=head.example,
        gate=freeze(block.gate),
        place=freeze(block.place),
        supply=freeze(block.supply),
        hoist=freeze(block.hoist),
        values=freeze(block.value),
        meter=freeze(block.meter),
        cord=freeze(block.cord),
        cores=freeze(block.core),
        pendant=_pendant(block.pendant),
        receiver=_receiver(block.receiver),
        transmitters=freeze(block.transmitter),
        devices=freeze(block.device),
        removes=tuple(Remove(row.wire or row.part or "", row.why) for row in block.remove),
        cables=freeze(block.cable),
        connections=freeze(block.connection),
        stops=freeze(block.stop),
        readings=freeze(block.reading),
        bench=tuple(_bench(row) for row in block.bench),
        confirms=freeze(block.confirm),
        approvals=freeze(block.approval),
        answers=freeze(block.answer),
        records=freeze(block.record),
        lines=MappingProxyType(dict(lines)),
        stamp=stamp,
    )


def _pendant(block: PendantBlock) -> Pendant:
    return Pendant(block.fate, tuple(block.keep), freeze(block.contact))


def _receiver(block: ReceiverFactsBlock) -> ReceiverFacts:
    same = {name: freeze(getattr(block, name)) for name in type(block).model_fields if name not in _RENAMED}
    return ReceiverFacts(**same, outputs=freeze(block.output), jumpers=freeze(block.jumper))


_RENAMED = ("output", "jumper")


def _bench(row: BenchBlock) -> BenchResult:
    time, at_most = row.time or (None, False)
    return BenchResult(row.test, row.output, row.result, time, at_most)
