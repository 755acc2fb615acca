"""An input file from the disk to plain data: size, encoding, characters, syntax."""

from __future__ import annotations

import math
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from wiring.files.lines import Lines, line_for
from wiring.files.problems import InputError, nearest, printable
from wiring.model.finding import Problem

LIMIT_BYTES = 1_000_000
LIMIT_VALUES = 20_000  # keys, entries and values of a file together
LIMIT_ENTRIES = 1_000  # of one list
LIMIT_DEPTH = 24  # tables and lists inside one another
LIMIT_TEXT = 4_000  # characters of one text
_AT = re.compile(r"\(at (?:line (\d+), column (\d+)|end of document)\)")
_UNQUOTED = re.compile(
    r"""\s*(?:[\w."'-]+\s*=|[\[,{].*=)?\s*([+-]?[0-9][0-9.,/]*\s*[A-Za-z°%µΩ'"][^,#\]}]*)"""
)
# a dotted key of more parts than may stand inside one another: reading it would take memory by the square
_KEY_PART = r"""(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*"""
_LONG_KEY = re.compile(
    rf"(?:^[ \t\[]*|[{{,][ \t\r\n]*)(?:{_KEY_PART}\.[ \t]*){{{LIMIT_DEPTH},}}", re.MULTILINE
)
_DATE = re.compile(r"=\s*\d{4}-\d{1,2}-\d{1,2}")
_BARE_WORD = re.compile(r"\s*[\w.-]+\s*=\s*([A-Za-z][\w .:/-]*?)\s*(?:#.*)?$")


def read_text(path: Path) -> str:
    """The text of an input file. Raises InputError where it is no readable text of sensible size."""
    name = printable(path.name, 80)
    try:
        if not path.is_file():
            what = "a folder" if path.is_dir() else "no file of this name" if not path.exists() else "no file"
            raise InputError([Problem(name, 0, "file", what, "a TOML file", _neighbour(path))])
        size = path.stat().st_size
        if size > LIMIT_BYTES:
            raise InputError([Problem(name, 0, "file", f"{size} bytes", f"at most {LIMIT_BYTES} bytes")])
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(
            [Problem(name, 0, "file", f"unreadable: {reason}", "a readable TOML file")]
        ) from None
    return decode(data, name)


def _neighbour(path: Path) -> str:
    try:
        return nearest(path.name, [each.name for each in path.parent.glob("*.toml")])
    except OSError:
        return ""


def decode(data: bytes, name: str) -> str:
    """Bytes as text without a byte-order mark. Raises InputError on wrong bytes or control characters."""
    try:
        text = data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        found = f"byte 0x{data[error.start]:02x}"
        raise InputError(
            [Problem(name, line, "file", found, "text in UTF-8; save the file as UTF-8")]
        ) from None
    found_at = re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text)
    if found_at:
        line = text.count("\n", 0, found_at.start()) + 1
        found = "a NUL character" if found_at[0] == "\0" else f"control character U+{ord(found_at[0]):04X}"
        raise InputError([Problem(name, line, "file", found, "printable characters, tabs and line ends")])
    return text


def read_toml(text: str, name: str) -> tuple[dict[str, Any], Lines]:
    """Plain data and the line of every key. Raises InputError with line, column and a hint."""
    too_long = _LONG_KEY.search(text)
    if too_long:
        line = text.count("\n", 0, too_long.end()) + 1
        found = "a key of too many parts"
        raise InputError([Problem(name, line, "file", found, f"at most {LIMIT_DEPTH} levels")])
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError([_syntax(text, str(error), name)]) from None
    except RecursionError:
        raise InputError(
            [Problem(name, 0, "file", "brackets nested too deep", f"at most {LIMIT_DEPTH} levels")]
        ) from None
    except ValueError as error:
        if "digits" in str(error):  # the limit of int(), which the reader of TOML meets first
            raise InputError(
                [Problem(name, 0, "file", "a number of thousands of digits", "numbers")]
            ) from None
        raise InputError([Problem(name, 0, "file", printable(str(error)), "a TOML file")]) from None
    lines = Lines(text)
    over = _too_much(data)
    if over:
        raise InputError([Problem(name, 0, *over)])
    problems = list(_characters(data, "", lines, name))
    if problems:
        raise InputError(problems)
    return data, lines


def _too_much(data: Any) -> tuple[str, str, str] | None:
    """key, found and allowed of the first limit that the data exceed, None where they keep them all."""
    level: list[tuple[str, Any]] = [("", data)]
    values = 0
    for _ in range(LIMIT_DEPTH + 1):
        below: list[tuple[str, Any]] = []
        for path, value in level:
            if isinstance(value, str):
                if len(value) > LIMIT_TEXT:
                    found, most = f"a text of {len(value)} characters", f"at most {LIMIT_TEXT} characters"
                    return printable(path) or "file", found, most
            elif isinstance(value, list):
                if len(value) > LIMIT_ENTRIES:
                    found, most = f"{len(value)} entries", f"at most {LIMIT_ENTRIES} entries in a list"
                    return printable(path) or "file", found, most
                below += [(f"{path}.{step}" if path else str(step), each) for step, each in enumerate(value)]
            elif isinstance(value, dict):
                below += [(f"{path}.{step}" if path else str(step), each) for step, each in value.items()]
        values += len(below)
        if values > LIMIT_VALUES:
            return "file", f"more than {LIMIT_VALUES} values", f"at most {LIMIT_VALUES} keys and values"
        if not below:
            return None
        level = below
    return printable(level[0][0]), "tables or lists nested too deep", f"at most {LIMIT_DEPTH} levels"


def _syntax(text: str, message: str, name: str) -> Problem:
    """The problem of a syntax error: where, the words on that line, and what would be right."""
    rows = text.split("\n")
    found_at = _AT.search(message)
    line = int(found_at[1]) if found_at and found_at[1] else len(rows)
    column = int(found_at[2]) if found_at and found_at[2] else len(rows[-1]) + 1
    reason = _AT.sub("", message).strip()
    row = rows[min(line, len(rows)) - 1][:400]  # enough to recognise the slip by
    found = f"{printable(row.strip())!r} ({printable(reason, 120)})"
    return Problem(name, line, f"column {column}", found, printable(_hint(row, reason), 500))


def _hint(row: str, reason: str) -> str:
    """What the writer of a line that is no TOML most likely has to change."""
    quantity, bare = _UNQUOTED.match(row), _BARE_WORD.match(row)
    if "verwrite" in reason or "twice" in reason or "Cannot declare" in reason or "mutate" in reason:
        return "each key and table once; several of a kind are written [[name]]"
    if _DATE.search(row):
        return "TOML; a date that exists, such as 2026-11-25, or 2026-11-25T09:10:00 with a time"
    if row.count('"') % 2 == 0 and quantity:
        return f'TOML; write it in quotes: "{quantity[1].strip()}"'
    if bare and bare[1] not in ("true", "false"):
        fixed = bare[1].lower() if bare[1].lower() in ("true", "false") else f'"{bare[1]}"'
        return f"TOML; write {fixed}" if fixed[0] != '"' else f"TOML; write it in quotes: {fixed}"
    if row.count('"') % 2:
        return 'TOML; a text begins and ends with a quote (")'
    if row.lstrip().startswith("[") and row.count("[") != row.count("]"):
        return "TOML; a header is [name] or [[name]]"
    return 'TOML: key = "text", key = number, key = [list], [table] or [[entry]]'


def _characters(value: Any, path: str, lines: Mapping[str, int], name: str) -> list[Problem]:
    """Problems of characters and numbers that TOML allows and no job means."""
    if isinstance(value, dict):
        found: list[Problem] = []
        for key, inner in value.items():
            here = f"{path}.{key}" if path else key
            found += [*_characters(key, path, lines, name), *_characters(inner, here, lines, name)]
        return found
    if isinstance(value, list):
        return [
            each for n, inner in enumerate(value) for each in _characters(inner, f"{path}.{n}", lines, name)
        ]
    if isinstance(value, float) and not math.isfinite(value):
        return [Problem(name, line_for(path, lines), path, str(value), "a finite number")]
    if isinstance(value, str) and not value.isprintable():
        bad = next((each for each in value if _forbidden(each)), "")
        if bad:
            what = f"control character U+{ord(bad):04X} in a text"
            return [Problem(name, line_for(path, lines), printable(path), what, "printable characters")]
    return []


def _forbidden(character: str) -> bool:
    """Control, direction-changing and line-separating characters; tab and line end are left alone."""
    if character in "\t\n":
        return False
    return unicodedata.category(character) in ("Cc", "Zl", "Zp", "Cs", "Co") or (
        "\u202a" <= character <= "\u202e"
        or "\u2066" <= character <= "\u2069"
        or character in "\u200e\u200f\ufeff"
    )


def without_unknown(value: Any) -> Any:
    """The same data without every key whose value is the word `unknown`, which means absent."""
    if isinstance(value, dict):
        return {key: without_unknown(inner) for key, inner in value.items() if inner != "unknown"}
    if isinstance(value, list):
        return [without_unknown(inner) for inner in value]
    return value
