"""JSON Schema: says what the loader says."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from wiring.files import catalog_root, schema
from wiring.files.schema import KINDS

HERE = Path(__file__).parent
SAMPLES = {
    "job": HERE / "example.toml",
    "hoist": catalog_root() / "hoists/reversing-contactors-24.toml",
    "receiver": catalog_root() / "receivers/six-channel-stop-pair.toml",
    "device": HERE / "my-contactor.toml",
    "cable": next(iter(sorted((catalog_root() / "cables").glob("*.toml")))),
}


def objections(data: Any, rule: dict[str, Any], root: dict[str, Any], at: str = "") -> list[str]:
    """What a plain reading of JSON Schema (the words our schemas use) objects to in the data."""
    if "$ref" in rule:
        return objections(data, root["$defs"][rule["$ref"].rpartition("/")[2]], root, at)
    if "anyOf" in rule:
        all_found = [objections(data, one, root, at) for one in rule["anyOf"]]
        return [] if [] in all_found else min(all_found, key=len)
    if "const" in rule:
        return [] if data == rule["const"] else [f"{at}: not {rule['const']}"]
    if "enum" in rule:
        return [] if data in rule["enum"] else [f"{at}: {data!r} none of {rule['enum']}"]
    kinds = {
        "string": str,
        "object": dict,
        "array": list,
        "boolean": bool,
        "integer": int,
        "number": (int, float),
    }
    wanted = rule.get("type")
    if wanted and rule.get("format") is None and not isinstance(data, kinds[wanted]):
        return [f"{at}: no {wanted}"]
    if isinstance(data, str) and "pattern" in rule and not re.search(rule["pattern"], data):
        return [f"{at}: {data!r} does not fit {rule['pattern']}"]
    if isinstance(data, list):
        return [
            each
            for n, one in enumerate(data)
            for each in objections(one, rule.get("items", {}), root, f"{at}.{n}")
        ]
    if isinstance(data, dict):
        return _of_table(data, rule, root, at)
    return []


def _of_table(data: dict[str, Any], rule: dict[str, Any], root: dict[str, Any], at: str) -> list[str]:
    found = [f"{at}: {key} missing" for key in rule.get("required", []) if key not in data]
    rest = rule.get("additionalProperties", {})
    for key, value in data.items():
        one = rule.get("properties", {}).get(key, rest)
        if one is False:
            found.append(f"{at}.{key}: not allowed")
        else:
            found += objections(value, {} if one is True else one, root, f"{at}.{key}")
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_schema_accepts_good_files(kind: str) -> None:
    """The schema of each kind is plain JSON, has a title, and accepts a good file of that kind."""
    made = json.loads(json.dumps(schema(kind)))
    assert made["title"] and made["additionalProperties"] is False
    assert objections(tomllib.loads(SAMPLES[kind].read_text("utf-8")), made, made) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('length = "4 m"', 'length = "4"'),
        ('length = "4 m"', 'length = "4,5 m"'),
        ('region = "iec"', 'region = "eu"'),
        ('size = "1.5 mm²"', 'size = "thick"'),
        ('rcd = "30 mA"', 'rdc = "30 mA"'),
        ("locked = true", 'locked = "yes"'),
        ('mode = "momentary"', 'mode = "held"'),
        ('stage = "design"\n', ""),
        ('from = "K0:1"', 'from = "K0"'),
    ],
)  # fmt: skip
def test_schema_refuses_bad_files(old: str, new: str) -> None:
    """A slip that the loader refuses is underlined by an editor too."""
    made = schema("job")
    text = SAMPLES["job"].read_text("utf-8")
    assert old in text
    assert objections(tomllib.loads(text.replace(old, new, 1)), made, made)


def test_quantities_are_described() -> None:
    """Quantity fields are text with pattern and examples, never "anything"; unknown is allowed."""
    made = schema("job")
    length = made["$defs"]["CordFactsBlock"]["properties"]["length"]["anyOf"][0]
    assert length["type"] == "string" and length["examples"] == ["12 m"]
    for good in ("12 m", "3.5 ft", "unknown"):
        assert re.search(length["pattern"], good)
    for bad in ("12", "12 M", "3 1/2 ft", "12m"):
        assert not re.search(length["pattern"], bad)


def test_no_such_schema() -> None:
    """Another kind raises KeyError."""
    with pytest.raises(KeyError):
        schema("pendant")
