"""A page of reference: the same thing as text and as a JSON document."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Page:
    """text: plain linear text; document: JSON values; verdict: of a lint, "pass" elsewhere."""

    text: str
    document: dict[str, Any] = field(default_factory=dict)
    verdict: str = "pass"
