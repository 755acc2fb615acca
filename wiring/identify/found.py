"""What a session has found: types, roles, what reads alike, readings that contradict each other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wiring.identify.alike import symmetries
from wiring.identify.choose import WRONG, Voice
from wiring.identify.meter import Model
from wiring.identify.space import Space

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


def weighted(space: Space, beyond: int) -> list[Voice]:
    """Every hypothesis near the best with its share."""
    near = space.near(beyond)
    raw = [
        (block, i, block.weight * WRONG ** (block.misses[i].bit_count() - space.best)) for block, i in near
    ]
    whole = sum(weight for _, _, weight in raw) or 1.0
    return [Voice(block, block.rows[i], weight / whole) for block, i, weight in raw]


def types_found(space: Space, certain: bool) -> tuple[TypeFound, ...]:
    """The types that are left, likeliest first."""
    share: dict[str, float] = {}
    model: dict[str, Model] = {}
    for voice in weighted(space, 2):
        share[voice.block.model.id] = share.get(voice.block.model.id, 0.0) + voice.weight
        model[voice.block.model.id] = voice.block.model
    against = {block.model.id: _against(block.misses) for block in space.blocks if block.misses}
    left = {block.model.id for block, _ in space.near(0)}
    found = []
    for id, part in sorted(share.items(), key=lambda item: -item[1]):
        if id not in left and (certain or part < 0.001):
            continue
        standing = "likely" if part > 0.9 else "possible" if id in left else "unlikely"
        if certain and len(left) == 1:
            standing = "certain"
        found.append(TypeFound(id, model[id].title, part, standing, against[id]))
    return tuple(found)


def _against(misses: Iterable[int]) -> tuple[int, ...]:
    least = min(misses, key=lambda miss: miss.bit_count())
    return tuple(i for i in range(least.bit_length()) if least >> i & 1)


def roles_found(space: Space, certain: bool) -> tuple[RoleFound, ...]:
    """What each core is, one of each set of symmetric answers standing for all of them."""
    voices = weighted(space, 0)
    chosen = [voice for voice in voices if _stands(voice)]
    whole = sum(voice.weight for voice in chosen) or 1.0
    found = []
    for i, core in enumerate(space.cores):
        share: dict[str, float] = {}
        for voice in chosen:
            roles = voice.block.roles_in(voice.row, 1 << i)
            name = next(iter(roles), "") or ("spare" if _full(voice) else "not yet known")
            share[name] = share.get(name, 0.0) + voice.weight / whole
        names = sorted(share, key=lambda name: -share[name])
        single = len(names) == 1 and names[0] != "not yet known"
        standing = "certain" if single and certain else "likely" if single else "ambiguous"
        found.append(RoleFound(core, names[0] if single else "", standing, () if single else tuple(names)))
    return tuple(found)


def _full(voice: Voice) -> bool:
    return len(voice.block.placed) == len(voice.block.model.roles)


def _stands(voice: Voice) -> bool:
    """True for the one of its symmetric answers that stands for them: the roles' own order of cores."""
    at = dict(zip(voice.block.placed, voice.row, strict=True))
    row = tuple(at.get(role, 0) for role in voice.block.model.roles)
    return all(row <= tuple(row[j] for j in swap) for swap in symmetries(voice.block.model))


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
    for model in {block.model.id: block.model for block, _ in space.near(0)}.values():
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
    sets = {miss for block in space.blocks for miss in block.misses}
    core = (1 << len(space.taken)) - 1
    for i in reversed(range(len(space.taken))):  # the oldest stay: they set the frame
        without = core & ~(1 << i)
        if all(miss & without for miss in sets):
            core = without
    counts: dict[int, float] = {}
    for block, i in space.near(0):
        miss = block.misses[i]
        for number in range(len(space.taken)):
            if miss >> number & 1:
                counts[number] = counts.get(number, 0.0) + block.weight
    repeat = max(counts, key=lambda number: (counts[number], -number), default=0)
    return Contradiction(tuple(i for i in range(len(space.taken)) if core >> i & 1), repeat)
