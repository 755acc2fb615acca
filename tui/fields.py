"""Fields of the job file as the schema describes them: what can be typed, and how it is shown."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

UNKNOWN = "unknown"
NONE = "none"  # an empty list: asked, and there is none
NOW = "now"


class FieldError(ValueError):
    """A typed text that the field cannot hold; the message says what it can."""


@dataclass(frozen=True, slots=True)
class Field:
    """One key. path: below its block ("rating.resistive"); kind: text, choice, switch, count,
    date, moment, list, pair; pattern: of the text, or of each item of a list."""

    path: str
    kind: str
    choices: tuple[str, ...] = ()
    examples: tuple[str, ...] = ()
    pattern: str = ""
    required: bool = False
    longest: int = 500

    @property
    def label(self) -> str:
        return self.path.replace("_", " ").replace(".", " · ")


def resolved(schema: Mapping[str, Any], node: Mapping[str, Any]) -> Mapping[str, Any]:
    """The described thing itself: references followed, `or unknown` left out."""
    while True:
        if "$ref" in node:
            node = schema["$defs"][node["$ref"].rpartition("/")[2]]
            continue
        options = [one for one in node.get("anyOf", ()) if one.get("const") != UNKNOWN]
        if len(options) == 1:
            node = options[0]
            continue
        return node


def block_of(schema: Mapping[str, Any], block: str) -> Mapping[str, Any]:
    """The schema of one table ("gate", "receiver.output")."""
    node: Mapping[str, Any] = schema
    for step in block.split("."):
        node = resolved(schema, node["properties"][step])
        if node.get("type") == "array":
            node = resolved(schema, node["items"])
    return node


def fields_of(schema: Mapping[str, Any], block: str) -> tuple[Field, ...]:
    """Every key of a block, tables in it laid flat; lists of tables are blocks of their own."""
    return tuple(_fields(schema, block_of(schema, block), "", True))


def _fields(schema: Mapping[str, Any], node: Mapping[str, Any], prefix: str, must: bool) -> list[Field]:
    out: list[Field] = []
    for name, raw in node.get("properties", {}).items():
        needed = must and name in node.get("required", ())
        one = resolved(schema, raw)
        path = f"{prefix}{name}"
        if one.get("type") == "object" and "properties" in one:
            out += _fields(schema, one, f"{path}.", False)
        elif one.get("type") == "object":
            inner = resolved(schema, one["additionalProperties"])
            out += [_field(f"{path}.{way}", inner, False, schema) for way in ("up", "down")]
        elif one.get("type") != "array" or not _tables(schema, one):
            out.append(_field(path, one, needed, schema))
    return out


def _tables(schema: Mapping[str, Any], node: Mapping[str, Any]) -> bool:
    return resolved(schema, node["items"]).get("type") == "object"


def _field(path: str, node: Mapping[str, Any], must: bool, schema: Mapping[str, Any]) -> Field:
    kind, pattern, choices = "text", str(node.get("pattern", "")), tuple(node.get("enum", ()))
    examples = tuple(str(one) for one in node.get("examples", ()))
    form = node.get("format", "")
    if node.get("type") == "array":
        item = resolved(schema, node["items"])
        kind = "pair" if node.get("maxItems") == 2 else "list"
        pattern, choices = str(item.get("pattern", "")), tuple(item.get("enum", ()))
        examples = tuple(str(one) for one in item.get("examples", ()))
    elif choices:
        kind = "choice"
    elif node.get("type") == "boolean":
        kind, choices = "switch", ("yes", "no")
    elif node.get("type") == "integer":
        kind = "count"
    elif form in ("date", "date-time"):
        kind = "date" if form == "date" else "moment"
    elif "anyOf" in node:
        pattern = "|".join(str(one["pattern"]) for one in node["anyOf"] if "pattern" in one)
        choices = tuple(word for one in node["anyOf"] for word in one.get("enum", ()))
        pattern = "|".join([pattern, *(f"^{re.escape(word)}$" for word in choices)]) if pattern else ""
        examples = tuple(e for one in node["anyOf"] for e in one.get("examples", ()))
    return Field(path, kind, choices, examples, pattern, must, int(node.get("maxLength", 500)))


def shown(value: Any) -> str:
    """A value of the file as the field shows it; unknown is an empty text."""
    if value is None or value == UNKNOWN:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(shown(one) for one in value) or NONE
    if isinstance(value, datetime.datetime):
        return value.isoformat(" ")
    return str(value)


def read(field: Field, text: str) -> Any:
    """The value that a typed text means, None for unknown. Raises FieldError."""
    if not text.strip() or text.strip() == UNKNOWN:
        if field.required:
            raise FieldError("this one must be there")
        return None
    return _READ.get(field.kind, _text)(field, text)


def _text(field: Field, text: str) -> str:
    if len(text) > field.longest:
        raise FieldError(f"at most {field.longest} characters; these are {len(text)}")
    if ("\n" in text or "\t" in text) and field.longest <= 500:
        raise FieldError("a text on one line, without tabs")
    bad = next((one for one in text if forbidden(one)), "")
    if bad:
        raise FieldError(f"printable characters; this is U+{ord(bad):04X}")
    bare = text.strip() if field.pattern else text
    if field.pattern and not re.search(field.pattern, bare):
        raise FieldError(wanted(field))
    return bare


def forbidden(character: str) -> bool:
    """Characters that no job file may hold: controls, line separators, changes of direction."""
    if character in "\t\n":
        return False
    turns = "\u202a" <= character <= "\u202e" or "\u2066" <= character <= "\u2069"
    return turns or unicodedata.category(character) in ("Cc", "Zl", "Zp", "Cs", "Co")


def _choice(field: Field, text: str) -> str:
    for word in field.choices:
        if word.casefold() == text.strip().casefold():
            return word
    raise FieldError(wanted(field))


def _switch(field: Field, text: str) -> bool:
    word = text.strip().casefold()
    if word in ("yes", "y", "true", "1"):
        return True
    if word in ("no", "n", "false", "0"):
        return False
    raise FieldError("yes or no")


def _count(field: Field, text: str) -> int:
    if not text.strip().isdecimal() or len(text.strip()) > 9:
        raise FieldError("a whole number")
    return int(text)


def _date(field: Field, text: str) -> datetime.date:
    if text.strip().casefold() in (NOW, "today"):
        return datetime.date.today()
    try:
        return datetime.date.fromisoformat(text.strip())
    except ValueError:
        raise FieldError("a date such as 2026-11-25, or: today") from None


def _moment(field: Field, text: str) -> datetime.datetime:
    if text.strip().casefold() == NOW:
        return datetime.datetime.now().replace(microsecond=0)
    try:
        return datetime.datetime.fromisoformat(text.strip())
    except ValueError:
        raise FieldError("a date and time such as 2026-11-25 09:10, or: now") from None


def _list(field: Field, text: str) -> list[str]:
    if text.strip().casefold() in (NONE, "[]"):
        return []
    items = [one.strip() for one in text.split(",") if one.strip()]
    for one in items:
        if (field.choices and one not in field.choices) or (
            field.pattern and not re.search(field.pattern, one)
        ):
            raise FieldError(f"{one!r} does not fit; {wanted(field)}")
    if field.kind == "pair" and len(items) != 2:
        raise FieldError("two names with a comma between them")
    return items


_READ = {
    "choice": _choice,
    "switch": _switch,
    "count": _count,
    "date": _date,
    "moment": _moment,
    "list": _list,
    "pair": _list,
}


def wanted(field: Field) -> str:
    """What the field can hold, in one line."""
    if field.kind == "switch":
        return "yes or no"
    if field.choices and field.kind != "text":
        words = " | ".join(field.choices)
        return words if field.kind == "choice" else f"any of {words}, with commas; or {NONE}"
    if field.kind == "count":
        return "a whole number"
    if field.kind == "date":
        return "a date such as 2026-11-25, or: today"
    if field.kind == "moment":
        return "a date and time such as 2026-11-25 09:10, or: now"
    form = f"such as {' or '.join(field.examples)}" if field.examples else "a text"
    if field.choices:
        form += f"; or {' | '.join(field.choices)}"
    if field.kind == "pair":
        return "two names with a comma between them"
    return f"several with commas, {form}; or {NONE}" if field.kind == "list" else form
