"""What a session has found: types, roles, what reads alike, readings that contradict each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wiring.identify.alike import standing_keys, symmetries
from wiring.identify.panel import WRONG
from wiring.identify.rows import has, number_sets
from wiring.identify.space import Block, Space

#: Pairs whose difference is a direction of motion: no dead reading with the limits closed tells it.
OPPOSITE = (
    ("up", "down"),
    ("left", "right"),
    ("forward", "back"),
    ("in", "out"),
    ("up-second", "down-second"),
)


@dataclass(frozen=True, slots=True)
class TypeFound:
    """A hoist type that is left. share: of all that the readings leave; standing: certain |
    likely | possible | unlikely (more readings speak against it than against another); against:
    numbers of those readings."""

    id: str
    title: str
    share: float
    standing: str
    against: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class RoleFound:
    """What a core is. role "" where several are left; standing: certain | likely | ambiguous;
    others: what it can be besides; note: why it stays open."""

    core: str
    role: str
    standing: str
    others: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Symmetry:
    """Cores that change places without any dead reading noticing. told_by: what would tell."""

    cores: tuple[str, ...]
    roles: tuple[str, ...]
    told_by: str


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Readings (numbers from 0) that cannot all be true, and the one to repeat."""

    readings: tuple[int, ...]
    repeat: int


def types_found(space: Space, certain: bool) -> tuple[TypeFound, ...]:
    """The types that are left, likeliest first."""
    share: dict[str, float] = {}
    for block in space.near(2):
        weights = block.weight * WRONG ** (block.cost - space.best).astype(np.float64)
        share[block.model.id] = share.get(block.model.id, 0.0) + float(weights.sum())
    whole = sum(share.values()) or 1.0
    model = {block.model.id: block.model for block in space.blocks}
    against = {block.model.id: _against(block) for block in space.blocks if len(block.rows)}
    left = {block.model.id for block in space.near(0)}
    found = []
    for id, weight in sorted(share.items(), key=lambda item: -item[1]):
        part = weight / whole
        if id not in left and (certain or part < 0.001):
            continue
        standing = "likely" if part > 0.9 else "possible" if id in left else "unlikely"
        if certain and len(left) == 1:
            standing = "certain"
        found.append(TypeFound(id, model[id].title, part, standing, against[id]))
    return tuple(found)


def _against(block: Block) -> tuple[int, ...]:
    """The readings that speak against the best row of a type."""
    (least,) = number_sets(block.misses[[int(block.cost.argmin())]])
    return tuple(i for i in range(least.bit_length()) if least >> i & 1)


def roles_found(space: Space, certain: bool) -> tuple[RoleFound, ...]:
    """What each core is, one of each set of symmetric answers standing for all of them."""
    share: dict[int, dict[str, float]] = {n: {} for n in range(len(space.cores))}
    for block in space.near(0):
        rows = _standing(block, len(space.cores)).rows
        for n, own in share.items():
            left = len(rows)
            for k, role in enumerate(block.placed):
                count = int((rows[:, k] == n).sum())
                left -= count
                own[role] = own.get(role, 0.0) + count * block.weight
            loose = "spare" if len(block.placed) == len(block.model.roles) else "not yet known"
            own[loose] = own.get(loose, 0.0) + left * block.weight
    found = []
    for n, core in enumerate(space.cores):
        names = sorted((name for name, part in share[n].items() if part > 0.0), key=lambda x: -share[n][x])
        single = len(names) == 1 and names[0] != "not yet known"
        standing = "certain" if single and certain else "likely" if single else "ambiguous"
        found.append(RoleFound(core, names[0] if single else "", standing, () if single else tuple(names)))
    return tuple(found)


def _standing(block: Block, cores: int) -> Block:
    """The one of each set of symmetric answers that stands for all: the roles' own order of cores."""
    first = np.sort(np.unique(standing_keys(block, cores), return_index=True)[1])
    return block.only(first)


def symmetries_found(
    space: Space, roles: tuple[RoleFound, ...], directions: frozenset[str]
) -> tuple[Symmetry, ...]:
    """Cores of the answer that no dead reading tells apart. directions: motions already told
    apart by an opened limit ("up")."""
    found: list[Symmetry] = []
    at = {role.role: role.core for role in roles if role.role}
    for one, two in OPPOSITE:
        if one in at and two in at and not {one, two} & directions:
            told = "only the label of the button; an opened limit or the bump without load shows it"
            found.append(Symmetry((at[one], at[two]), (one, two), told))
    for model in {block.model.id: block.model for block in space.near(0)}.values():
        for swap in symmetries(model)[1:]:
            moved = [model.roles[i] for i, j in enumerate(swap) if i != j]
            if all(role in at for role in moved):
                cores = tuple(at[role] for role in moved)
                told = "nothing that is dead; the first bump shows the order of the phases"
                if not any(role.startswith(("line", "motor")) for role in moved):
                    told = "nothing, and it makes no difference: the two paths are equal"
                found.append(Symmetry(cores, tuple(moved), told))
    return tuple(found)


def contradiction_of(space: Space) -> Contradiction | None:
    """The readings that cannot all be true; None where some hypothesis fits them all."""
    if space.best == 0:
        return None
    sets = set().union(*(number_sets(block.misses) for block in space.blocks))
    core = (1 << len(space.taken)) - 1
    for i in reversed(range(len(space.taken))):  # the oldest stay: they set the frame
        without = core & ~(1 << i)
        if all(miss & without for miss in sets):
            core = without
    counts: dict[int, float] = {}
    for block in space.near(0):
        for number in range(len(space.taken)):
            speaking = float(has(block.misses, number).sum())
            if speaking:
                counts[number] = counts.get(number, 0.0) + block.weight * speaking
    repeat = max(counts, key=lambda number: (counts[number], -number), default=0)
    return Contradiction(tuple(i for i in range(len(space.taken)) if core >> i & 1), repeat)
