"""Heights for the control part: the potential each net would have if every part were one ohm.

Along any path that carries current the potential falls, so it says which way
a part is read. Solved exactly by taking out one net after the other, the one
with the fewest neighbours first.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping


def potentials(pairs: Iterable[tuple[int, int]], live: set[int], back: set[int]) -> Mapping[int, float]:
    """Potential of every net in `pairs`, `live` held at 1 and `back` at 0; 0.5 where neither is reached."""
    near: dict[int, dict[int, float]] = defaultdict(dict)
    for a, b in pairs:
        if a != b:
            near[a][b] = near[a].get(b, 0.0) + 1.0
            near[b][a] = near[a][b]
    fixed = {**dict.fromkeys(live, 1.0), **dict.fromkeys(back, 0.0)}
    free = {net for net in near if net not in fixed}
    taken: list[tuple[int, dict[int, float]]] = []
    while free:
        net = min(free, key=lambda n: (len(near[n]), n))
        free.discard(net)
        around = near.pop(net)
        taken.append((net, around))
        total = math.fsum(around.values())
        for other in around:
            del near[other][net]
        ends = sorted(around)
        for i, a in enumerate(ends):
            for b in ends[i + 1 :]:
                joined = near[a].get(b, 0.0) + around[a] * around[b] / total
                near[a][b] = near[b][a] = joined
    found = dict(fixed)
    for net, around in reversed(taken):
        known = [(found[other], g) for other, g in around.items()]
        total = math.fsum(g for _, g in known)
        found[net] = math.fsum(v * g for v, g in known) / total if total else 0.5
    return found
