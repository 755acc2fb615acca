"""The fewest readings that hold off every rival, looked for a few readings ahead.

Each rival lacks so many contradictions; each reading that could be taken gives
some of them to some of the rivals. Which reading comes first is tried out: the
rest of each try takes, again and again, the reading that gives most.
"""

from __future__ import annotations

import numpy as np

from wiring.identify.panel import Weights

#: So many readings are tried as the first of a run.
TRIED = 10
#: A run is not followed any longer than this.
LONGEST = 24
#: What is lacking less than this is not lacking.
ENOUGH = 1e-6


def gives(told: Weights, lacking: Weights, trouble: Weights) -> Weights:
    """What each reading gives the rivals for its trouble; the nearer a rival, the more it counts.
    told: a row a reading, a column a rival, in contradictions."""
    found: Weights = (np.minimum(told, lacking) @ np.square(lacking)) / trouble
    return found


def first_of(told: Weights, lacking: Weights, trouble: Weights) -> int | None:
    """The number of the reading that begins the shortest run; None where none gives anything."""
    worth = gives(told, lacking, trouble)
    able = np.flatnonzero(worth > ENOUGH)
    if not len(able):
        return None
    able = able[np.argsort(-worth[able], kind="stable")][: 4 * TRIED]
    different = np.sort(np.unique(np.minimum(told[able], lacking), axis=0, return_index=True)[1])[:TRIED]
    best, run = int(able[0]), float("inf")
    for number in able[different].tolist():
        own = float(trouble[number])
        length = own + followed(told, np.maximum(0.0, lacking - told[number]), trouble, run - own)
        if length < run - ENOUGH:
            best, run = number, length
    return best


def followed(told: Weights, lacking: Weights, trouble: Weights, most: float) -> float:
    """The trouble of a run that takes what gives most until nothing is lacking, or more than `most`."""
    length = 0.0
    for _ in range(LONGEST):
        left = lacking > ENOUGH
        if not left.any() or length >= most:
            return length
        told, lacking = told[:, left], lacking[left]
        worth = gives(told, lacking, trouble)
        best = int(worth.argmax())
        if worth[best] <= ENOUGH:  # these rivals no reading tells apart
            return length
        length += float(trouble[best])
        lacking = np.maximum(0.0, lacking - told[best])
    return length
