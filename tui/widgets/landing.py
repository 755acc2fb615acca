"""Where points land, looked up in the job's connections."""

from __future__ import annotations

from typing import Any


def rows(data: dict[str, Any] | None, block: str) -> list[dict[str, Any]]:
    """The entries of a list of the job that are tables, none where there is no such list."""
    found = (data or {}).get(block)
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def lands(data: dict[str, Any] | None, point: str) -> list[str]:
    """The other ends of every connection at a point."""
    out = []
    for row in rows(data, "connection"):
        ends = [str(row.get("from", "")), str(row.get("to", ""))]
        if point in ends:
            out.append(ends[1 - ends.index(point)])
    return out


def conductor_rows(data: dict[str, Any] | None) -> list[tuple[str, str, str, str, str, str]]:
    """Every conductor of every cable: name, size, number, from, to, and whether an end is loose."""
    used = {str(row["conductor"]): row for row in rows(data, "connection") if "conductor" in row}
    out = []
    for cable in rows(data, "cable"):
        order = cable.get("order")
        for one in order if isinstance(order, list) else ():
            name = f"{cable.get('id')}:{one}"
            row = used.get(name, {})
            ends = (str(row.get("from", "")), str(row.get("to", "")))
            loose = "" if all(ends) else "lands nowhere"
            out.append(
                (name, str(row.get("size", cable.get("size", "?"))), str(row.get("number", "")), *ends, loose)
            )
    return out
