"""Validation errors of a block, in our own words: file, line, key, found, allowed, nearest."""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import ValidationError

from wiring.files.fields import Block, shown
from wiring.files.lines import line_for
from wiring.files.problems import listed, nearest, printable
from wiring.model.finding import Problem

B = TypeVar("B", bound=Block)


def validate(
    block: type[B], data: Any, name: str, lines: Mapping[str, int], at: str = ""
) -> tuple[B | None, list[Problem]]:
    """The data as a block, or None and every problem. at: key path of the data in its file."""
    try:
        return block.model_validate(data), []
    except ValidationError as error:
        found = error.errors(include_url=False, include_context=True, include_input=True)
        return None, [_problem(each, block, name, lines, at) for each in found]


def _problem(error: Any, block: type[Block], name: str, lines: Mapping[str, int], at: str) -> Problem:
    loc = [str(step) for step in error["loc"]]
    key = ".".join(filter(None, (at, *loc)))
    line = line_for(key, lines)
    found, allowed, near = _words(error, loc, block)
    return Problem(name, line, printable(key), found, allowed, near)


def _words(error: Any, loc: list[str], block: type[Block]) -> tuple[str, str, str]:
    """found, allowed, nearest of one error."""
    kind, value = error["type"], error["input"]
    if kind == "wrong":
        context = error["ctx"]
        return context["found"], context["allowed"], context["nearest"]
    if kind == "missing":
        example = _example(loc, block)
        return "nothing", f"{example} (this key is needed)" if example else "a value (this key is needed)", ""
    if kind == "extra_forbidden":
        keys = _keys(_block_at(block, error["loc"][:-1]))
        return f'unknown key "{printable(loc[-1])}"', listed(keys, 40), nearest(loc[-1], keys)
    if kind in ("list_type", "too_short", "too_long"):
        entry = f"; write [[{'.'.join(loc)}]]" if isinstance(value, dict) else ""
        return shown(value), f"a list{entry}", ""
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return shown(value), "a table of keys" + ("; write [ ] once" if isinstance(value, list) else ""), ""
    return shown(value), error["msg"], ""


def _example(loc: list[str], block: type[Block]) -> str:
    """An example of the missing key's value, where its field gives one."""
    owner = _block_at(block, tuple(loc[:-1]))
    for name, field in (owner.model_fields if owner else {}).items():
        if (field.alias or name) == loc[-1]:
            schemas = [mark.schema for mark in field.metadata if hasattr(mark, "schema")]
            words = [each for schema in schemas for each in schema.get("enum", schema.get("examples", []))]
            closed = any("enum" in schema for schema in schemas)
            return ("" if closed else "such as ") + listed(map(str, words), 8) if words else ""
    return ""


def _keys(block: type[Block] | None) -> list[str]:
    return [field.alias or name for name, field in block.model_fields.items()] if block else []


def _block_at(block: type[Block], loc: tuple[Any, ...]) -> type[Block] | None:
    """The block that stands at a place, found by walking the field types."""
    here: type[Block] | None = block
    for step in loc:
        if not isinstance(step, str) or here is None:
            continue
        field = next((f for name, f in here.model_fields.items() if (f.alias or name) == step), None)
        here = _inner(field.annotation) if field else here
    return here


def _inner(annotation: Any) -> type[Block] | None:
    """The block inside `Block | None`, `list[Block]` or `dict[str, Block]`."""
    if isinstance(annotation, type) and not isinstance(annotation, types.GenericAlias):
        return annotation if issubclass(annotation, Block) else None
    for argument in typing.get_args(annotation):
        if found := _inner(argument):
            return found
    return None
