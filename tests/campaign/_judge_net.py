"""The judge's own netlist: parts on points, as found and as converted."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from tests.campaign._judge_read import CannotRead, Data, entry, number, stated

#: Keys of a part that are no figures.
WORDS = frozenset(("id", "kind", "at", "form", "by", "role", "rect", "label", "fitted"))


@dataclass
class Piece:
    """One part: what it is, where its pins sit, what works it, and its figures [SI]."""

    name: str
    kind: str
    pins: tuple[str, ...]
    form: str = ""
    by: str = ""
    role: str = ""
    rect: str = ""
    figures: dict[str, float] = field(default_factory=dict)


@dataclass
class Net:
    """A circuit of pieces with what moves, what locks and who is asked."""

    job: Data
    hoist: Data
    after: bool
    pieces: dict[str, Piece] = field(default_factory=dict)
    alias: dict[str, str] = field(default_factory=dict)
    locks: list[tuple[str, str]] = field(default_factory=list)
    stated: dict[str, float] = field(default_factory=dict)
    dc: bool = False

    def point(self, name: str) -> str:
        """A point by the name of what it really is."""
        return self.alias.get(name, name)

    def add(self, piece: Piece) -> None:
        """Put a piece in, its figures overruled by what the job states."""
        for key in ("voltage", "resistance", "inrush", "inrush_pf", "sealed", "sealed_pf", "minimum",
                    "maximum", "power", "rating", "capacitance", "primary", "secondary", "on", "off",
                    "run_r", "run_x", "locked_r", "locked_x", "leakage", "reactance"):  # fmt: skip
            if f"{piece.name}.{key}" in self.stated:
                piece.figures[key] = self.stated[f"{piece.name}.{key}"]
        self.pieces[piece.name] = piece


def build(job: Data, after: bool) -> Net:
    """The circuit of a job, with the pendant or with the receiver."""
    hoist = entry("hoists", job["hoist"]["type"])
    net = Net(job, hoist, after, stated=stated(job), dc=hoist["supply_system"] == "dc")
    net_list(net, hoist, hoist_name, hoist_cause)
    net.locks += [(hoist_name(a), hoist_name(b)) for a, b in hoist.get("interlocks", [])]
    sources(net)
    if after:
        converted(net)
    else:
        handset(net)
    return net


def net_list(
    net: Net,
    source: Data,
    name: Callable[[str], str],
    cause: Callable[[str], str],
    jumpers: Data | None = None,
) -> None:
    """The parts and wires of one catalog entry."""
    for row in source.get("parts", []):
        if not (jumpers or {}).get(row["id"], row.get("fitted", True)):
            continue
        figures = {k: number(v) for k, v in row.items() if k not in WORDS}
        net.add(
            Piece(
                name(row["id"]),
                row["kind"],
                tuple(name(pin) for pin in row["at"]),
                row.get("form", ""),
                cause(row["by"]) if "by" in row else "",
                row.get("role", ""),
                row.get("rect", ""),
                figures,
            )
        )
    for row in source.get("wires", []):
        net.add(Piece(name(row[0]), "wire", (name(row[1]), name(row[2]))))


def hoist_name(local: str) -> str:
    """`X1.3` of the hoist is `hoist:X1.3`, `plug.L` is `plug:L`."""
    return f"plug:{local[5:]}" if local.startswith("plug.") else f"hoist:{local}"


def hoist_cause(by: str) -> str:
    """Coils by their full names; everything else as it stands."""
    kind, _, id = by.partition(":")
    return f"coil:{hoist_name(id)}" if kind == "coil" else f"stop:{id}" if kind == "isolator" else by


def sources(net: Net) -> None:
    """Supply voltage of each source: of a phase, of half the lines, or all of it."""
    system = net.hoist["supply_system"]
    share = 1 / math.sqrt(3) if system.startswith("3ph") else 0.5 if system == "1ph L-L" else 1.0
    plate = number(net.hoist["voltage"]) * share
    volts = number(net.job["supply"].get("voltage", net.hoist["voltage"])) * share
    for piece in net.pieces.values():
        if piece.kind != "source":
            continue
        own = piece.figures.get("voltage")
        if own is not None and abs(own - plate) > 0.02 * plate:
            piece.figures.setdefault("frequency", 0.0)
            continue
        piece.figures |= {"voltage": volts, "frequency": 0.0 if net.dc else number(net.hoist["frequency"])}


def handset(net: Net) -> None:
    """The pendant with its cord."""
    cord = net.hoist["cord"]
    for core in cord["cores"]:
        net.add(Piece(f"core:{core['role']}", "wire", (hoist_name(core["at"]), f"pendant:{core['role']}")))
    for row in cord["contacts"]:
        pins = tuple(f"pendant:{end}" for end in row["between"])
        net.add(Piece(f"pendant:{row['id']}", "contact", pins, row["form"], hoist_cause(row["by"])))
    net_list(net, {"parts": cord.get("handset_parts", [])}, lambda local: f"pendant:{local}", hoist_cause)


def converted(net: Net) -> None:
    """Without the pendant, with receiver, devices and connections."""
    job = net.job
    if job["pendant"].get("fate") != "removed" or job["cord"].get("fate") not in ("removed", "tail-kept"):
        raise CannotRead("a pendant or cord that stays is not read here")
    seats = {core["role"]: hoist_name(core["at"]) for core in net.hoist["cord"]["cores"]}
    for core in job["core"]:
        seat = seats.get(core.get("role", ""))
        if seat and job["cord"]["fate"] == "removed":
            net.alias[f"core:{core['id']}"] = seat
        elif seat:
            net.add(Piece(f"core:{core['id']}", "wire", (seat, f"core:{core['id']}")))
    receiver = entry("receivers", job["receiver"]["type"])
    jumpers = {row["id"]: row.get("fitted") for row in job["receiver"].get("jumper", [])}
    net_list(net, receiver, lambda local: f"receiver:{local}", lambda by: by,
             {k: v for k, v in jumpers.items() if v is not None})  # fmt: skip
    for row in job.get("device", []):
        device(net, row)
    for row in job.get("remove", []):
        net.pieces.pop(row.get("wire") or row.get("part"), None)
    for n, row in enumerate(job.get("connection", [])):
        pins = (net.point(row["from"]), net.point(row["to"]))
        name = row.get("conductor") or f"link {n}"
        net.add(Piece(name if name not in net.pieces else f"{name} again {n}", "wire", pins, role="added"))


def device(net: Net, row: Data) -> None:
    """One added device."""
    kind = entry("devices", row["type"])
    id, units = row["id"], kind.get("units", [])
    limits = {limit["id"] for limit in net.hoist.get("limit", [])}

    def name(local: str) -> str:
        unit, colon, rest = local.partition(":")
        if unit in units:
            return f"{id}.{unit}{colon}{rest}"
        return f"{id}:{local}" if local else id

    def cause(by: str) -> str:
        what, _, of = by.partition(":")
        if what == "coil":
            return f"coil:{name(of)}"
        if what == "limit":
            return f"limit:{id}" if of in limits else f"limit:{of}"
        return f"selector:{id}.{of}" if what == "selector" else f"{what}:{id}"

    net_list(net, kind, name, cause)
    net.locks += [(name(a), name(b)) for a, b in kind.get("interlocks", [])]


def reach(net: Net) -> dict[str, int]:
    """Every stop by its input: 3 at the operator's hand, 2 near with a clear way, 1 elsewhere."""
    ranks = {p.by: 1 for p in net.pieces.values() if p.by.startswith("stop:")}
    for row in net.job.get("stop", []):
        thing = row.get("device") or ""
        owner, _, part = thing.partition(":")
        piece = net.pieces.get(thing)
        by = piece.by if piece else f"stop:{part if owner == 'hoist' else owner}"
        if by in ranks:
            near = row.get("reach") == "near" and row.get("path_clear") is True and "distance" in row
            close = near and number(row["distance"]) <= 10.0
            ranks[by] = 3 if row.get("reach") == "operator" else 2 if close else 1
    keys = {key for t in net.job.get("transmitter", []) for key in t.get("keys", [])}
    if "stop" in keys and any(o.get("key") == "stop" for o in outputs(net)):
        ranks["key:stop"] = 3
    return ranks


def outputs(net: Net) -> list[dict[str, Any]]:
    """Receiver outputs as they are set, on top of what the type says."""
    facts = {row["id"]: row for row in net.job["receiver"].get("output", [])}
    kind = entry("receivers", net.job["receiver"]["type"])
    return [{**row, **facts.get(row["id"], {})} for row in kind["output"]]
