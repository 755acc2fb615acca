"""Catalog entries from their TOML: hoist, receiver, device and cable types."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, TypeVar, cast

from wiring.files.entry_format import BASES, CableBlock, DeviceBlock, HoistBlock, NetBlock, ReceiverBlock
from wiring.files.entry_hoist import hoist_fields
from wiring.files.entry_net import netlist, touchable
from wiring.files.entry_values import (
    ENTRY_PROPERTIES,
    RATING_PROPERTIES,
    RATING_WORDS,
    Site,
    values_of,
)
from wiring.files.explain import validate
from wiring.files.fields import Block, freeze, shown
from wiring.files.lines import Lines
from wiring.files.problems import InputError, Reporter, counted
from wiring.files.text import read_toml
from wiring.model.entry import (
    CableType,
    DeviceType,
    HoistType,
    Netlist,
    OutputType,
    ReceiverType,
    Source,
)
from wiring.model.finding import Problem
from wiring.model.value import Basis, Value

B = TypeVar("B", bound=Block)


#: Entries of a list that a type can have and a plan still be made in a few seconds; other lists have the
#: limit of every list (`text.LIMIT_ENTRIES`). The whole of a job's coils has one too (`job.MOST_COILS`).
LIMITS = {
    "parts": 250, "wires": 400, "terminals": 250, "junctions": 250, "button": 24, "limit": 12, "stop": 12,
    "thermals": 8, "motor": 8, "brake": 8, "output": 40,
}  # fmt: skip


def content_digest(data: Mapping[str, Any]) -> str:
    """Twelve hex digits over the content of an entry; comments and layout do not count."""
    plain = json.dumps(data, sort_keys=True, default=str, ensure_ascii=False)
    return hashlib.sha256(plain.encode()).hexdigest()[:12]


def opened(block: type[B], text: str, file: str, stem: str) -> tuple[B, Site, str]:
    """The text as a block, the site of its problems, and its digest. Raises InputError.

    stem: the id that the entry must have, "" where any will do (a file beside a job).
    """
    data, lines = read_toml(text, file)
    _another_kind(data, block, file)
    counted(data, LIMITS, Reporter(file, lines))
    made, problems = validate(block, data, file, lines)
    if made is None:
        raise InputError(problems)
    own = getattr(made, "id", stem)
    if stem and own != stem:
        raise InputError([_named(file, lines, own, stem)])
    return (
        made,
        Site(file, lines, source=cast(Source, freeze(getattr(made, "source", None)))),
        content_digest(data),
    )


#: Keys that only one kind of file has, and what it is.
_MARKS = {
    "job": ("", "a job file"),
    "cord": ("HoistBlock", "a hoist type"),
    "supply_kind": ("ReceiverBlock", "a receiver type"),
    "columns": ("TableFile", "a table"),
    "letter": ("DeviceBlock", "a device type"),
}


def _another_kind(data: Mapping[str, Any], block: type[Block], file: str) -> None:
    """Raises InputError with one problem for a file of another kind, not one for each of its keys."""
    here = {name: what for key, (name, what) in _MARKS.items() if key in data}
    if not here or (block.__name__ in here and "" not in here):
        return
    named = dict(_MARKS.values()) | {"CableBlock": "a cable type"}
    wanted = named.get(block.__name__, "clauses")
    found = here.get("", next(iter(here.values())))
    raise InputError([Problem(file, 1, "file", found, f"{wanted} (holdrun schema shows every key)")])


def _named(file: str, lines: Lines, own: str, stem: str) -> Problem:
    return Problem(file, lines.get("id", 0), "id", f'"{own}"', "the name of the file", stem)


def hoist_type(text: str, file: str, stem: str = "") -> HoistType:
    """A hoist type from the text of its file. Raises InputError with every problem."""
    block, site, digest = opened(HoistBlock, text, file, stem)
    net = netlist(block, site)
    fields = hoist_fields(block, net, site)
    site.finish()
    return HoistType(**_common(block, site, net, digest), recognise=tuple(block.recognise), **fields)


def receiver_type(text: str, file: str, stem: str = "") -> ReceiverType:
    """A receiver type from the text of its file. Raises InputError with every problem."""
    block, site, digest = opened(ReceiverBlock, text, file, stem)
    net = netlist(block, site)
    outputs = cast(tuple[OutputType, ...], freeze(block.output))
    _check_outputs(block, net, site)
    rating, words = _rating(block.rating, site)
    values = values_of(block.values, "", ENTRY_PROPERTIES, site, "values")
    site.finish()
    return ReceiverType(
        **_common(block, site, net, digest),
        recognise=tuple(block.recognise),
        outputs=outputs,
        supply_kind=block.supply_kind,
        supply_terminals=tuple(block.supply_terminals),
        modes=tuple(block.modes),
        mode_set=block.mode_set,
        on_loss=MappingProxyType(dict(block.on_loss)),
        on_return=block.on_return,
        opposing=block.opposing,
        step_two=block.step_two,
        stop_outputs=tuple(block.stop_outputs),
        values=values,
        rating=rating,
        rating_words=words,
        ingress=block.ingress,
        lifting=block.lifting,
        lifting_why=block.lifting_why,
    )


def device_type(text: str, file: str, stem: str = "") -> DeviceType:
    """A device type from the text of its file. Raises InputError with every problem."""
    block, site, digest = opened(DeviceBlock, text, file, stem)
    net = netlist(block, site)
    rating, words = _rating(block.rating, site)
    values = values_of(block.values, "", ENTRY_PROPERTIES, site, "values")
    site.finish()
    return DeviceType(
        **_common(block, site, net, digest),
        kind=block.kind,
        letter=block.letter,
        units=tuple(block.units),
        values=values,
        rating=rating,
        rating_words=words,
    )


def cable_type(text: str, file: str, stem: str = "") -> CableType:
    """A cable type from the text of its file. Raises InputError with every problem."""
    block, site, digest = opened(CableBlock, text, file, stem)
    return CableType(
        id=block.id,
        title=block.title,
        source=site.source,
        region=block.region,
        kind=block.kind,
        insulation_c=block.insulation.si if block.insulation else None,
        rated_v=block.rated_voltage.si if block.rated_voltage else None,
        pendant_use=block.pendant_use,
        colours=freeze(block.colours),
        sizes=tuple(size.text for size in block.sizes),
        notes=tuple(block.notes),
        digest=digest,
    )


def _common(block: NetBlock, site: Site, net: Netlist, digest: str) -> dict[str, Any]:
    return {
        "id": block.id,
        "title": block.title,
        "source": site.source,
        "net": net,
        "notes": tuple(block.notes),
        "digest": digest,
    }


def _rating(raw: Mapping[str, Any], site: Site) -> tuple[Mapping[str, Value], Mapping[str, str]]:
    """Numbers and words of a `[rating]` block. Figures typical for a class are placeholders."""
    words = {key: value for key, value in raw.items() if key in RATING_WORDS}
    for key, value in words.items():
        if not isinstance(value, str):
            site.problem(f"rating.{key}", shown(value), "a text, in quotes")
    basis = raw.get("basis")
    if basis is not None:
        site.known("rating.basis", str(basis), BASES, "a basis")
    numbers = {key: value for key, value in raw.items() if key not in (*RATING_WORDS, "basis", "source")}
    source = raw.get("source")
    values = values_of(
        numbers, "rating", RATING_PROPERTIES, site, "rating", cast("Basis", basis or "placeholder"),
        str(source) if source else None,
    )  # fmt: skip
    return values, MappingProxyType(words)


def _check_outputs(block: ReceiverBlock, net: Netlist, site: Site) -> None:
    """Outputs that parts name, terminals of the supply, modes of the loss table exist."""
    ids = tuple(output.id for output in block.output)
    for n, output in enumerate(block.output):
        if ids.count(output.id) > 1:
            site.problem(f"output.{n}.id", f'"{output.id}" twice', "each output its own id")
    driven = set()
    for n, part in enumerate(net.parts):
        cause, _, name = part.by.partition(":")
        if cause == "output":
            driven.add(name)
            site.known(f"parts.{n}.by", name, ids, "an output of this receiver")
    for n, output in enumerate(block.output):
        if output.id not in driven:
            site.problem(
                f"output.{n}.id", f'"{output.id}" without a contact', f"a part by output:{output.id}"
            )
    for name in block.supply_terminals:
        site.known("supply_terminals", name, touchable(net), "a terminal of this receiver")
    for name in block.stop_outputs:
        site.known("stop_outputs", name, ids, "an output of this receiver")
    for name in block.on_loss:
        site.known("on_loss", name, tuple(block.modes), "a mode of this receiver")
