"""What the planner proposes for a few hoists, as text: `python -m tests.planner.told` writes it anew.

The texts hold what to buy, the best way of each drive with every row and its reason, and why others
were refused. They say what the planner said when they were written, not that it was right: that is for
the tests beside them and the full plan. Read a difference before it is committed.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from tests.planner.made import CATALOG, job_of, lived_in
from wiring.files import load_job
from wiring.files.catalog import catalog_root
from wiring.model.job import Job
from wiring.model.proposal import Proposal
from wiring.planner.fit import needs, why_so
from wiring.planner.propose import search
from wiring.planner.specify import specification

FOLDER = Path(__file__).parent / "told"
DEMO = catalog_root() / "demo"
PAIRS = (
    ("capacitor-motor-direct-120", "two-channel-dry"),
    ("capacitor-motor-direct-240-two-line", "two-channel-dry"),
    ("capacitor-in-handset-230", "two-channel-dry"),
    ("drive-npn", "four-channel-dry-dc"),
    ("main-auxiliary-direct-120", "two-channel-dry"),
    ("reversing-contactors-115", "two-channel-solid-state"),
    ("reversing-contactors-24", "four-channel-transistor"),
    ("reversing-contactors-24", "six-channel-stop-pair"),
    ("reversing-contactors-48", "two-channel-fed"),
    ("three-phase-direct-three-pole-460", "four-channel-dry-dc"),
    ("three-phase-direct-two-pole-400", "two-channel-fed"),
    ("two-speed-crane-115", "eight-channel-two-speed"),
    ("universal-motor-120", "four-channel-dry-dc"),
    ("winch-negative-switching-12", "four-channel-transistor"),
    ("winch-permanent-magnet-12", "winch-high-side"),
)
#: Jobs that have connections already: what they have stays where it can.
DEMOS = ("malt-first-try", "slipway-gantry")
NAMES = (*(f"{hoist}.{receiver}" for hoist, receiver in PAIRS), *DEMOS)


def job_named(name: str) -> Job:
    """The job of a text."""
    if name in DEMOS:
        return load_job(DEMO / f"{name}.toml")
    hoist, _, receiver = name.partition(".")
    return lived_in(job_of(hoist, receiver))


def told(name: str) -> str:
    """What to buy for one hoist, and the best way of each drive to connect the receiver."""
    job = job_named(name)
    tried = search(job, CATALOG)
    lines = [f"want {w.what}: {w.wanted}; {w.why}" for w in specification(job, CATALOG)]
    lines += [f"refused {line}" for line in tried.refused]
    drives = [c.proposal.drive for c in tried.candidates]
    for n, candidate in enumerate(tried.candidates):
        if candidate.proposal.drive not in drives[:n]:
            lines += ["", *of_proposal(candidate.proposal, job, tried.refused)]
    return "\n".join(lines) + "\n"


def of_proposal(made: Proposal, job: Job, refused: tuple[str, ...]) -> Iterator[str]:
    """One way, line by line."""
    yield f"way {made.drive}, score {made.score:.2f}: {why_so(made, refused)}"
    yield from (f"needs {line}" for line in needs(made, job, CATALOG))
    yield from (f"device {d.id}: {d.type}" for d in made.devices)
    yield from (f"remove {r.name}: {r.why}" for r in made.removes)
    for row, why in zip(made.connections, made.reasons, strict=True):
        yield f"{row.from_} - {row.to} [{row.conductor or 'link'}, {row.number or 'no number'}]: {why}"
    yield from (f"cable {c.id}: {' '.join(c.order or ())}" for c in made.cables)
    for stop in made.stops:
        yield f"stop {stop.id}: {stop.kind} {stop.device}, {stop.reach} {stop.distance}"
    if made.receiver:
        yield from (f"output {o.id}: {o.key or 'no key'}, {o.mode}" for o in made.receiver.outputs)
        yield from (f"jumper {j.id}: {'in' if j.fitted else 'out'}" for j in made.receiver.jumpers)
    yield from (f"transmitter {t.id}: {' '.join(t.keys)}" for t in made.transmitters)
    yield from (f"open {line}" for line in made.open)


def main() -> None:
    """Write every text."""
    FOLDER.mkdir(exist_ok=True)
    for name in NAMES:
        (FOLDER / f"{name}.txt").write_text(told(name), "utf-8")


if __name__ == "__main__":
    main()
