"""JSON Schema of the files a person writes, for editors that complete and check while typing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wiring.files import entry_build, job
from wiring.files.entry_format import CableBlock, DeviceBlock, HoistBlock, ReceiverBlock
from wiring.files.entry_values import ENTRY_PROPERTIES, RATING_PROPERTIES, RATING_WORDS
from wiring.files.fields import Block
from wiring.files.job_format import JobFile
from wiring.files.text import LIMIT_BYTES, LIMIT_DEPTH, LIMIT_ENTRIES, LIMIT_TEXT

_FILES: Mapping[str, tuple[type[Block], str]] = {
    "job": (JobFile, "Job file: one conversion of a pendant hoist to a wireless receiver"),
    "hoist": (HoistBlock, "Catalog entry: hoist type"),
    "receiver": (ReceiverBlock, "Catalog entry: receiver type"),
    "device": (DeviceBlock, "Catalog entry: device type"),
    "cable": (CableBlock, "Catalog entry: cable type"),
}
KINDS = tuple(_FILES)


def schema(kind: str) -> dict[str, Any]:
    """The JSON Schema of a kind of file: one of `KINDS`. Raises KeyError for another.

    Every key may also hold the word `unknown`, which means absent.
    """
    block, title = _FILES[kind]
    _build(Block)
    result: dict[str, Any] = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        "description": "Absent means not known. Every quantity is a text with its unit. "
        f"At most {LIMIT_BYTES} bytes, {LIMIT_ENTRIES} entries in a list, {LIMIT_TEXT} characters in a text, "
        f"{LIMIT_DEPTH} levels of tables.",
        **_tidy(block.model_json_schema(by_alias=True)),
    }
    properties = result["properties"]
    for key, most in (job.LIMITS if kind == "job" else entry_build.LIMITS).items():
        if properties.get(key, {}).get("type") == "array":
            properties[key]["maxItems"] = most
    if kind in ("receiver", "device"):
        properties["rating"] = _values((*RATING_PROPERTIES, *RATING_WORDS, "basis", "source"))
        properties["values"] = _values(tuple(ENTRY_PROPERTIES))
    return result


def _build(block: type[Block]) -> None:
    """Complete every block: they are built when first used, and older pydantic wants a block that
    stands as a default to be complete before it writes the schema."""
    for each in block.__subclasses__():
        each.model_rebuild()
        _build(each)


def _tidy(node: Any) -> Any:
    """Without null (TOML has none: `unknown` takes its place) and without titles made from class names."""
    if isinstance(node, list):
        return [_tidy(each) for each in node]
    if not isinstance(node, dict):
        return node
    if node == {"type": "null"}:
        return {"const": "unknown"}
    found = {key: _tidy(value) for key, value in node.items()}
    for key in ("title", "description", "default"):  # as keywords; a property of that name is a table
        if not isinstance(found.get(key), dict) or key == "default":
            found.pop(key, None)
    return found


def _values(names: tuple[str, ...]) -> dict[str, Any]:
    """A table of values by property."""
    one = {"anyOf": [{"type": "string"}, {"type": "number"}, {"type": "object", "required": ["is"]}]}
    return {
        "type": "object",
        "properties": dict.fromkeys(names, one),
        "additionalProperties": False,
    }
