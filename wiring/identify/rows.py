"""Many hypotheses as arrays: a row is the number of the core of each placed role.

Beside each row lie its marks, one bit for each reading that it contradicts.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Rows = npt.NDArray[np.uint8]
Marks = npt.NDArray[np.uint64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

TABLED = 20  # numbers up to so many times their count are told apart by a table, without sorting
WORD = 64  # readings in a word of marks
MIX = 6_364_136_223_846_793_005  # odd, its bits spread


def one_row() -> Rows:
    """The one way to place no role."""
    return np.zeros((1, 0), np.uint8)


def no_marks(count: int) -> Marks:
    """Marks of rows that contradict nothing."""
    return np.zeros((count, 1), np.uint64)


def costs(marks: Marks) -> Ints:
    """How many readings each row contradicts."""
    found: Ints = np.bitwise_count(marks).sum(axis=1, dtype=np.int64)
    return found


def _wide(marks: Marks, words: int) -> Marks:
    return marks if marks.shape[1] >= words else np.pad(marks, ((0, 0), (0, words - marks.shape[1])))


def marked(marks: Marks, number: int, wrong: Flags) -> Marks:
    """Marks with a reading put on the rows that it contradicts. number: of the reading."""
    word, bit = divmod(number, WORD)
    found = _wide(marks, word + 1).copy()
    found[wrong, word] |= np.uint64(1 << bit)
    return found


def has(marks: Marks, number: int) -> Flags:
    """True for each row that this reading contradicts."""
    word, bit = divmod(number, WORD)
    if word >= marks.shape[1]:
        return np.zeros(len(marks), np.bool_)
    found: Flags = (marks[:, word] >> np.uint64(bit)) & np.uint64(1) == 1
    return found


def both(one: Marks, two: Marks) -> Marks:
    """The marks of either."""
    words = max(one.shape[1], two.shape[1])
    found: Marks = _wide(one, words) | _wide(two, words)
    return found


def stacked(parts: list[Marks]) -> Marks:
    """The marks of several lots of rows, one after the other."""
    words = max((part.shape[1] for part in parts), default=1)
    return np.concatenate([_wide(part, words) for part in parts]) if parts else no_marks(0)


def number_sets(marks: Marks) -> set[int]:
    """The different sets of readings, each as a number of bits."""
    return {
        sum(int(word) << WORD * k for k, word in enumerate(row)) for row in np.unique(marks, axis=0)
    }  # fmt: skip


def keys(rows: Rows, cores: int) -> Ints:
    """One comparable number for each row, equal for equal rows. cores: above every number. Rows too
    long for 63 bits are told apart by a 64-bit mix of their numbers."""
    width = rows.shape[1]
    base = cores + 1 if (cores + 1) ** width < 2**63 else MIX
    found: Ints = np.zeros(len(rows), np.int64)
    for column in rows.T:
        found = found * np.int64(base) + column
    return found


def different(numbers: Ints, above: int) -> tuple[Ints, Ints]:
    """The different numbers in order, and which of them each is. above: more than any of them."""
    if above > TABLED * len(numbers):
        found, which = np.unique(numbers, return_inverse=True)
        return found, which
    place = np.zeros(above, np.int64)
    place[numbers] = 1
    found = np.flatnonzero(place)
    place[found] = np.arange(len(found))
    return found, place[numbers]


def spread(rows: Rows, cores: int, more: int) -> tuple[Rows, Ints]:
    """Each row extended by `more` cores in every way, and the number of the row that it came from."""
    origin: Ints = np.arange(len(rows), dtype=np.int64)
    for _ in range(more):
        new = np.tile(np.arange(cores, dtype=np.uint8), len(rows))
        wide = np.repeat(rows, cores, axis=0)
        free = (wide != new[:, None]).all(axis=1)
        rows = np.column_stack((wide, new))[free]
        origin = np.repeat(origin, cores)[free]
    return rows, origin


def apart(one: Rows, two: Rows) -> Flags:
    """True for each pair of rows that have no core in common."""
    free = np.ones(len(one), np.bool_)
    for k in range(one.shape[1]):
        for m in range(two.shape[1]):
            free &= one[:, k] != two[:, m]
    return free
