"""identity.core: every core that is landed or cut has its role by measurement."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.readings import Fit, meter_of, seen
from wiring.check.rule import iec, rule, us
from wiring.check.rules.identity_type import tell
from wiring.check.states import OPPOSITE
from wiring.model.job import Core


@rule(
    "identity.core",
    "Every core has its role by measurement",
    danger=1,
    hazard="A core taken for another puts mains on a coil, or the stop into the wrong wire.",
    sources=(
        us("trade practice of dead testing; NEC 110.7: colour is not identity", "practice"),
        iec("trade practice of dead testing; IEC 60204-1 13.2.1: colour is not identity", "practice"),
    ),
    checks="Each core that is landed or cut: its role by readings on both sides of the cord that leave no "
    "other, by a "
    "trace or by a diagram. By colour or guess, or with readings on one side only, it is unknown; "
    "contradicted it fails. "
    "Up and down may stay open here: identity.direction settles them.",
    needs="core.by; [[reading]] rows of that core, handset side and hoist side.",
    does_not_cover="Cores that change places between the measurement and the work: label them.",
    wants="before",
)
def check(case: Case) -> Iterable[Draft]:
    hoist = case.hoist_type
    assert hoist is not None  # the runner asks this rule only where the type is known
    fit = Fit(case, meter_of(case, hoist))
    ways = fit.solutions() if fit.readings else []
    used = [(f"core:{c.id}", (i, c)) for i, c in enumerate(case.job.cores) if touched(case, c)]
    return case.each(used, lambda s, item: judge(case, s, item[0], item[1], fit, ways))


def touched(case: Case, core: Core) -> bool:
    """True for a core that is cut or landed."""
    cut = case.job.cord.fate in ("removed", "tail-kept", None)
    return cut or any(f"core:{core.id}" in (x.from_, x.to) for x in case.job.connections)


def judge(case: Case, subject: str, index: int, core: Core, fit: Fit, ways: list[dict[str, str]]) -> Draft:
    """One core."""
    key, wanted = f"core.{index}.by", "its role by readings on both sides, a trace or a diagram"
    if core.role is None:
        return unknown(
            subject,
            "its role is not known",
            wanted,
            "measure it (holdrun identify)",
            key=f"core.{index}.role",
        )
    named = {f"core:{c.id}": c.role for c in case.job.cores if c.role}
    bad = contradiction(fit, named, subject)
    if bad:
        return failed(subject, f"{core.role} is contradicted by {bad}", wanted,
                      "take that reading again, then change the role", key=f"core.{index}.role")  # fmt: skip
    if core.by in ("traced", "diagram"):
        source = core.source or case.job.hoist.type_source
        if source:
            return passed(subject, f"{core.role}, {core.by} ({source})", wanted, key=key)
        return unknown(
            subject, f"{core.role}, {core.by}; the source is not named", wanted, "name the source", key=key
        )
    if core.by != "readings":
        return unknown(subject, f"{core.role} by {core.by or 'nothing'}", wanted,
                       "measure it on both sides (holdrun identify)", key=key)  # fmt: skip
    sides = {r.side for r in seen(case.job) if subject in (r.a, r.b)}
    need = {"hoist"} if core.role in ("earth", "spare") else {"hoist", "handset"}
    missing = sorted(need - sides)
    if missing:
        return unknown(subject, f"{core.role} by readings, but none on the {' and '.join(missing)} side",
            wanted,
                       f"read it on the {missing[0]} side", key="reading")  # fmt: skip
    left = {way[subject] for way in ways if subject in way}
    if not fit.complete:
        return unknown(subject, f"{core.role}: too few readings to leave no other role", wanted,
                       "take more readings of this core", key="reading")  # fmt: skip
    if left <= {core.role} | mirrored(core.role):
        open_ = "; up and down are told apart by identity.direction" if len(left) > 1 else ""
        return passed(subject, f"{core.role}, the readings leave no other role{open_}", wanted, key=key)
    others = ", ".join(sorted(left - {core.role}))
    return unknown(subject, f"{core.role} by readings, which leave also: {others}", wanted,
                   "take a reading that separates them (holdrun identify)", key="reading")  # fmt: skip


def contradiction(fit: Fit, named: dict[str, str], core: str) -> str:
    """A reading of this core that the named roles cannot explain, in words; empty where all fit."""
    for reading in fit.readings:
        if core in (reading.a, reading.b) and not fit.fits(reading, named):
            return tell(reading)
    return ""


def mirrored(role: str) -> set[str]:
    """The role that only a motion or an opened limit tells from this one."""
    head, dash, rest = role.partition("-")
    other = OPPOSITE.get(head)
    return {f"{other}{dash}{rest}"} if other else set()
