"""identity.count: as many cores as the type has, no role twice, spares dead."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.readings import seen
from wiring.check.rule import both, rule


@rule(
    "identity.count",
    "Cores counted, no role twice, spares dead",
    danger=1,
    hazard="A core more than the type has is a function nobody knew of.",
    sources=(both("trade practice", "practice"),),
    checks="Cores of the cord against the cores of the type; each role once; each spare open to all others "
    "at both ends.",
    needs="[[core]] rows for every core seen at the gland; readings of each spare.",
    does_not_cover="Cores that are cut off inside the gland.",
    wants="before",
)
def check(case: Case) -> Iterable[Draft]:
    hoist, cores = case.hoist_type, case.job.cores
    assert hoist is not None  # the runner asks this rule only where the type is known
    roles = [c.role for c in cores if c.role and c.role != "spare"]
    wanted = f"the {len(hoist.cores)} cores of the type, each role once"
    twice = [r for r, n in Counter(roles).items() if n > 1]
    if not cores:
        yield unknown("cores", "no core is listed", wanted, "count them at the gland", key="core")
        return
    if twice:
        yield failed("cores", f"role used twice: {', '.join(twice)}", wanted, "measure both", key="core")
        return
    missing = [c.role for c in hoist.cores if c.role not in roles]
    nameless = [c.id for c in cores if c.role is None]
    if nameless:
        yield unknown("cores", f"without role: {', '.join(nameless)}", wanted, "measure them", key="core")
    elif missing:
        yield failed("cores", f"no core is: {', '.join(missing)}", wanted, "look for another type, or for "
            "the core",
                     key="core")  # fmt: skip
    else:
        yield passed("cores", f"{len(roles)} roles, {len(cores) - len(roles)} spare", wanted, key="core")
    yield from spares(case)


def spares(case: Case) -> Iterable[Draft]:
    """Each spare core open to the others, both ends."""
    names = [f"core:{c.id}" for c in case.job.cores]
    for index, core in enumerate(case.job.cores):
        if core.role != "spare":
            continue
        own = f"core:{core.id}"
        rows = [r for r in seen(case.job) if own in (r.a, r.b)]
        wanted = "open to every other core, at both ends"
        joined = [r for r in rows if not isinstance(r.value, str) and r.value < 1e6]
        if joined:
            yield failed(own, f"reads {joined[0].value:.3g} ohm to {other(own, joined[0].a, joined[0].b)}",
                wanted,
                         "it is no spare: find its role", key=f"core.{index}.role")  # fmt: skip
            continue
        tried = {(other(own, r.a, r.b), r.side) for r in rows}
        short = [n for n in names if n != own for side in ("hoist", "handset") if (n, side) not in tried]
        if short:
            yield unknown(own, f"not read against {short[0]} at both ends", wanted, "read it against every "
                "other core",
                          key="reading")  # fmt: skip
        else:
            yield passed(own, "open to every other core, at both ends", wanted, key="reading")


def other(own: str, a: str, b: str) -> str:
    return b if a == own else a
