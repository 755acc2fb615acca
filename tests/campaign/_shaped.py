"""Jobs and quantities drawn by hypothesis: right in shape by the format's own schema, of any content."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import hypothesis
import tomlkit
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

from tests.campaign._damage import PIECES, RIGHT
from wiring.files import schema

WORDS = ("up", "down", "core:1", "hoist:X1.1", "receiver:COM1", "K1", "W1:1", "unknown", "1", "2", "press",
         "reversing-contactors-24", "six-channel-stop-pair", "contactor-pair-24", "release-up")  # fmt: skip
TEXTS = st.sampled_from((*RIGHT, *WORDS, *PIECES)) | st.text(max_size=20)
MOST = 3  # entries of one list


def jobs() -> st.SearchStrategy[bytes]:
    """Job files as bytes."""
    whole = schema("job")
    return _of(whole, whole.get("$defs", {})).map(lambda data: tomlkit.dumps(data).encode("utf-8", "replace"))


def _of(part: dict[str, Any], defs: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Values of one part of a JSON Schema."""
    if "$ref" in part:
        name = part["$ref"].rpartition("/")[2]
        return st.deferred(lambda: _of(defs[name], defs))
    if "anyOf" in part:
        return st.one_of([_of(each, defs) for each in part["anyOf"]])
    if "const" in part or "enum" in part:
        return st.sampled_from(part.get("enum", [part.get("const")])) | TEXTS
    match part.get("type"):
        case "object":
            return _table(part, defs)
        case "array":
            return st.lists(_of(part.get("items", {"type": "string"}), defs), max_size=MOST)
        case "integer":
            return st.integers(-2, 9) | st.integers()
        case "number":
            return st.floats()
        case "boolean":
            return st.booleans()
    examples = part.get("examples", [])
    return st.sampled_from(examples) | TEXTS if examples else TEXTS


def _table(part: dict[str, Any], defs: dict[str, Any]) -> st.SearchStrategy[Any]:
    """A table with every key that it must have and some of the others."""
    keys = {key: _of(each, defs) for key, each in part.get("properties", {}).items()}
    must = {key: keys[key] for key in part.get("required", []) if key in keys}
    may = {key: each for key, each in keys.items() if key not in must}
    return st.fixed_dictionaries(must, optional=may)


def drawn(strategy: st.SearchStrategy[Any], count: int, seed: int, take: Callable[[int, Any], None]) -> None:
    """Hands `take` a number and a value, `count` times, the same for the same seed."""
    number = 0

    @hypothesis.seed(seed)
    @settings(max_examples=count, deadline=None, database=None, phases=[Phase.generate],
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @hypothesis.given(strategy)
    def each(value: Any) -> None:
        nonlocal number
        if number < count:
            take(number, value)
        number += 1

    each()
    if number < count:  # hypothesis has seen every value there is, or enough of them
        drawn(strategy, count - number, seed + 1, lambda at, value: take(number + at, value))
