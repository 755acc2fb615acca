"""Ways to spoil a good job: of its connections, its settings and its figures.

Each way lists what it can do to a job as changes of plain data, every one with the names of the
places it touches. The campaign draws from the lists; nothing here asks whether a change is harmful.
"""

from __future__ import annotations

import copy
import itertools
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from tests.campaign._judge_read import Data, entry

Ends = tuple[int, str]


@dataclass(frozen=True)
class Slip:
    """One change of a job: what was done, the job after it, the places it touches."""

    kind: str
    told: str
    data: Data
    places: tuple[str, ...]


Way = Callable[[Data], Iterator[tuple[str, Data, tuple[str, ...]]]]


def copied(data: Data) -> Data:
    """A job to write in."""
    return copy.deepcopy(data)


def moved(data: Data, moves: list[tuple[Ends, str]]) -> Data:
    """Connections with some ends elsewhere."""
    new = copied(data)
    for (n, side), point in moves:
        new["connection"][n][side] = point
    return new


def ends(data: Data) -> list[Ends]:
    """Every end of every connection that carries no earth and no suppressor."""
    quiet = {d["id"] for d in data.get("device", []) if d["type"].startswith("suppressor")}
    found = []
    for n, row in enumerate(data["connection"]):
        if any(row[s].endswith(":PE") or row[s].partition(":")[0] in quiet for s in ("from", "to")):
            continue
        found += [(n, "from"), (n, "to")]
    return found


def at(data: Data, end: Ends) -> str:
    """The point of an end."""
    point: str = data["connection"][end[0]][end[1]]
    return point


def swap_ends(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """Two wires exchange their places."""
    for one, other in itertools.combinations(ends(data), 2):
        a, b = at(data, one), at(data, other)
        if one[0] != other[0] and a != b and one[1] == other[1]:
            new = moved(data, [(one, b), (other, a)])
            row, to = new["connection"][one[0]], new["connection"][other[0]]
            if row["from"] != row["to"] and to["from"] != to["to"]:
                yield f"{a} and {b} exchanged", new, (a, b)


def drop(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """One connection is forgotten."""
    for n, row in enumerate(data["connection"]):
        new = copied(data)
        del new["connection"][n]
        yield f"{row['from']} to {row['to']} left out", new, (row["from"], row["to"])


def beyond_limit(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A core is landed on the far side of a contact of the hoist: past the limit or the interlock."""
    hoist = entry("hoists", data["hoist"]["type"])
    seats = {core["role"]: core["at"] for core in hoist["cord"]["cores"]}
    home = {f"core:{core['id']}": seats.get(core.get("role", ""), "") for core in data["core"]}
    joined = [set(w[1:]) for w in hoist["wires"]]
    for end in ends(data):
        here = home.get(at(data, end)) or at(data, end).removeprefix("hoist:")
        near = {here} | {p for pair in joined if here in pair for p in pair}
        for part in hoist["parts"]:
            rest = part["kind"] == "contact" and part.get("form") == "NC" and part["at"][0] in near
            if rest and not part.get("by", "").startswith("stop:"):
                far = f"hoist:{part['at'][1]}"
                yield (
                    f"{at(data, end)} landed on {far}",
                    moved(data, [(end, far)]),
                    (at(data, end), far, part["id"]),
                )


def other_terminal(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A wire sits one terminal of the receiver or of a device away from its own."""
    names = terminals(data)
    for end in ends(data):
        point = at(data, end)
        owner = point.partition(":")[0].partition(".")[0]
        mine = names.get(owner, [])
        if point in mine:
            n = mine.index(point)
            for other in (*mine[n + 1 : n + 2], *mine[max(n - 1, 0) : n]):
                row = moved(data, [(end, other)])
                if row["connection"][end[0]]["from"] != row["connection"][end[0]]["to"]:
                    yield f"{point} landed on {other}", row, (point, other)


def terminals(data: Data) -> dict[str, list[str]]:
    """Terminals of the receiver and of every device, in the order of their parts, by owner."""
    kind = entry("receivers", data["receiver"]["type"])
    found = {"receiver": [f"receiver:{t['id']}" for t in kind["terminals"]]}
    for device in data.get("device", []):
        type = entry("devices", device["type"])
        hidden = set(type.get("junctions", []))
        names = dict.fromkeys(p for part in type["parts"] for p in part["at"] if p not in hidden)
        units = type.get("units", [])
        found[device["id"]] = [
            f"{device['id']}.{p}" if p.partition(":")[0] in units else f"{device['id']}:{p}" for p in names
        ]
    return found


def join_returns(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """Two cores share a terminal."""
    cores = [f"core:{c['id']}" for c in data["core"] if c.get("role") not in ("earth", "spare", None)]
    for one, other in itertools.combinations(cores, 2):
        new = copied(data)
        new["connection"].append({"from": one, "to": other})
        yield f"{one} and {other} joined", new, (one, other)


def joined_terminals(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A jumper of one's own between two terminals of the receiver or of a device."""
    used = {row[s] for row in data["connection"] for s in ("from", "to")}
    for points in terminals(data).values():
        for one, other in itertools.pairwise([p for p in points if p in used]):
            new = copied(data)
            new["connection"].append({"from": one, "to": other})
            yield f"{one} and {other} bridged", new, (one, other)


def wrong_common(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A common of the receiver is fed from another core."""
    commons = {"receiver:COM1", "receiver:COM2", "receiver:3", "receiver:8", "receiver:20", "receiver:COMA",
               "receiver:COMB", "receiver:C1", "receiver:C2", "receiver:COM"}  # fmt: skip
    cores = [f"core:{c['id']}" for c in data["core"] if c.get("role") not in ("earth", None)]
    for n, side in ends(data):
        far = "to" if side == "from" else "from"
        if data["connection"][n][side] in commons:
            for core in cores:
                left, common = data["connection"][n][far], data["connection"][n][side]
                if core != left:
                    yield f"{common} fed from {core}", moved(data, [((n, far), core)]), (core, common, left)


def false_neutral(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A return of the receiver's supply or of a coil is taken from a core of a motion."""
    supply = entry("receivers", data["receiver"]["type"])["supply_terminals"]
    roles = ("up", "down", "left", "right", "in", "out", "forward", "back", "speed-2", "aux-1", "aux-2",
             "motor-u", "motor-v", "main")  # fmt: skip
    cores = [f"core:{c['id']}" for c in data["core"] if c.get("role") in roles]
    for n, side in ends(data):
        point = data["connection"][n][side]
        far = "to" if side == "from" else "from"
        if point == f"receiver:{supply[-1]}" or point.endswith(":A2"):
            left = data["connection"][n][far]
            for core in cores:
                yield f"{point} returns over {core}", moved(data, [((n, far), core)]), (point, core, left)


def nc_for_no(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A wire sits on the rest contact instead of the working one, or the other way round."""
    pairs = (("NO1", "NC1"), ("NO2", "NC2"), ("NO3", "NC3"), ("NO4", "NC4"), (":14", ":12"), (":24", ":22"),
             (":13", ":21"), (":22", ":14"), (":12", ":14"), (":11", ":13"), (":21", ":13"))  # fmt: skip
    known = {p for points in terminals(data).values() for p in points}
    for end in ends(data):
        point = at(data, end)
        for old, new in pairs:
            other = point.removesuffix(old) + new
            if point.endswith(old) and other in known:
                yield f"{point} landed on {other}", moved(data, [(end, other)]), (point, other)


def bridged(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A contact of a device is left out: what sat on its two sides is joined."""
    for device in data.get("device", []):
        for part in entry("devices", device["type"])["parts"]:
            if part["kind"] != "contact" or part["form"] != "NC":
                continue
            units = entry("devices", device["type"]).get("units", [])
            one, other = (
                f"{device['id']}.{p}" if p.partition(":")[0] in units else f"{device['id']}:{p}"
                for p in part["at"]
            )
            used = {row[s] for row in data["connection"] for s in ("from", "to")}
            if one in used and other in used:
                new = copied(data)
                for row in new["connection"]:
                    for side in ("from", "to"):
                        row[side] = one if row[side] == other else row[side]
                new["connection"] = [r for r in new["connection"] if r["from"] != r["to"]]
                yield f"{one} to {other} left out of the path", new, (one, other, device["id"])


def jumper(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """A factory bridge is in where it was out, or out where it was in."""
    for n, row in enumerate(data["receiver"].get("jumper", [])):
        new = copied(data)
        new["receiver"]["jumper"][n]["fitted"] = not row["fitted"]
        yield (
            f"{row['id']} {'taken out' if row['fitted'] else 'fitted'}",
            new,
            (row["id"], f"receiver:{row['id']}"),
        )


def own_stop(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """The receiver's supply is taken from behind its own stop output, or another of its contacts."""
    kind = entry("receivers", data["receiver"]["type"])
    feed = f"receiver:{kind['supply_terminals'][0]}"
    outs = [f"receiver:{p['at'][1]}" for p in kind["parts"] if p["kind"] == "contact" and p["form"] == "NO"]
    used = {row[s] for row in data["connection"] for s in ("from", "to")}
    for n, side in ends(data):
        far = "to" if side == "from" else "from"
        if data["connection"][n][side] == feed:
            left = data["connection"][n][far]
            for point in dict.fromkeys(p for p in outs if p in used):
                yield f"{feed} fed from {point}", moved(data, [((n, far), point)]), (feed, point, left)


def wrong_key(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """Two outputs answer to each other's keys."""
    rows = data["receiver"]["output"]
    keyed = [n for n, row in enumerate(rows) if row.get("key")]
    for one, other in itertools.combinations(keyed, 2):
        if rows[one]["key"] != rows[other]["key"]:
            new = copied(data)
            outs = new["receiver"]["output"]
            outs[one]["key"], outs[other]["key"] = rows[other]["key"], rows[one]["key"]
            names = tuple(f"receiver:{rows[n]['id']}" for n in (one, other))
            yield (
                f"{names[0]} and {names[1]} exchange keys",
                new,
                (*names, rows[one]["key"], rows[other]["key"]),
            )


def core_roles(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """Two cores were taken for each other: each is landed where the other ought to be."""
    rows = [f"core:{c['id']}" for c in data["core"] if c.get("role") not in ("earth", "spare", None)]
    for one, other in itertools.combinations(rows, 2):
        new = copied(data)
        change = {one: other, other: one}
        for row in new["connection"]:
            for side in ("from", "to"):
                row[side] = change.get(row[side], row[side])
        if new != data:
            yield f"{one} and {other} taken for each other", new, (one, other)


def cable_order(data: Data) -> Iterator[tuple[str, Data, tuple[str, ...]]]:
    """Conductors lie in another order: others can touch."""
    for n, cable in enumerate(data.get("cable", [])):
        for one, other in itertools.combinations(range(len(cable.get("order", []))), 2):
            new = copied(data)
            order = new["cable"][n]["order"]
            order[one], order[other] = order[other], order[one]
            names = tuple(f"{cable['id']}:{order[i]}" for i in (one, other))
            yield f"{names[0]} and {names[1]} change places", new, (*names, cable["id"])


CONNECTIONS: dict[str, Way] = {
    "ends exchanged": swap_ends, "connection dropped": drop, "beyond limit or interlock": beyond_limit,
    "other terminal": other_terminal, "returns joined": join_returns, "terminals bridged": joined_terminals,
    "wrong common": wrong_common, "false neutral": false_neutral, "NC for NO": nc_for_no,
    "stop or interlock left out": bridged, "factory jumper": jumper,
    "receiver behind its own output": own_stop, "wrong key": wrong_key,
    "cores taken for each other": core_roles, "order of conductors": cable_order,
}  # fmt: skip


def renamed(text: str, old: str, new: str) -> str:
    """A device's name changed wherever it stands."""
    return re.sub(rf"\b{re.escape(old)}(?=[.:\"])", new, text)


def rows_of(data: Data, key: str) -> list[dict[str, Any]]:
    """The rows of a list of the job, none where it is absent."""
    found: list[dict[str, Any]] = data.get(key, [])
    return found
