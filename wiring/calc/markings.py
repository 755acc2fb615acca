"""Terminal marks of auxiliary contacts: place digit, function digits."""

from __future__ import annotations


def contact_function(marks: str) -> tuple[int, str]:
    """Place and function digits of a contact from its marks.

    marks: joined by hyphens, e.g. "21-22" or "11-12-14"; the same place for all.
    Raises ValueError for marks of another shape. Source: IEC 60947-1 annex L (EN 50005), basis: read.

    >>> contact_function("21-22"), contact_function("11-12-14")
    ((2, '1-2'), (1, '1-2-4'))
    """
    parts = marks.split("-")
    if len(parts) < 2 or any(len(part) != 2 or not part.isdigit() for part in parts):
        raise ValueError(f"no marks of an auxiliary contact: {marks!r}")
    places = {part[0] for part in parts}
    if len(places) != 1:
        raise ValueError(f"marks of two places: {marks!r}")
    return int(places.pop()), "-".join(part[1] for part in parts)
