"""From a draft to a circuit: inputs, motors, brakes, limiters, interlocks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Literal, cast

from wiring.circuit.draft import Draft, full_values
from wiring.circuit.names import hoist_name
from wiring.model.circuit import About, Brake, Circuit, Input, Limit, Motor, Output, Stop
from wiring.model.entry import HoistType

InputKind = Literal["button", "key", "limit", "stop", "thermal", "link", "supply", "selector"]
NONE: Mapping[str, tuple[str, ...]] = MappingProxyType({})


def freeze(
    draft: Draft,
    hoist: HoistType,
    *,
    about: About,
    motors: tuple[Motor, ...],
    inputs: tuple[Input, ...],
    stops: tuple[Stop, ...],
    core_order: tuple[str, ...] = (),
    conductor_order: Mapping[str, tuple[str, ...]] = NONE,
    expected: Mapping[str, tuple[str, ...]] = NONE,
    outputs: tuple[Output, ...] = (),
    limits: tuple[Limit, ...] = (),
    interlocks: tuple[tuple[str, str], ...] = (),
    auto_reset: tuple[str, ...] = (),
) -> Circuit:
    """The circuit of a draft. limits, interlocks and auto_reset: of added devices, beside the type's."""
    names = {input.name for input in inputs}
    channels: dict[str, tuple[str, ...]] = {}
    for output in outputs:
        channels[output.channel] = (*channels.get(output.channel, ()), output.name)
    present = set(draft.parts)
    pairs = (*interlocks_of(hoist), *interlocks)
    return Circuit(
        about=about,
        points=tuple(draft.points.values()),
        parts=tuple(draft.parts.values()),
        inputs=inputs,
        outputs=outputs,
        motors=tuple(motor for motor in motors if present.issuperset(motor.parts)),
        brakes=tuple(brake for brake in brakes_of(hoist) if not brake.part or brake.part in present),
        limits=(*limits_of(hoist), *limits),
        stops=stops,
        interlocks=tuple(pair for pair in pairs if present.issuperset(pair)),
        exclusive=tuple(group for group in exclusive_of(hoist) if names.issuperset(group)),
        auto_reset=(*(f"thermal:{id}" for id, by_itself in hoist.thermals if by_itself), *auto_reset),
        channels=MappingProxyType(channels),
        removed=tuple(draft.removed),
        core_order=tuple(name for name in core_order if name in present),
        conductor_order=MappingProxyType(dict(conductor_order)),
        aliases=MappingProxyType(dict(draft.aliases)),
        earth=hoist_name(hoist.earth) if hoist.earth else "",
        expected=expected,
    )


def inputs_of(
    draft: Draft, hoist: HoistType, *, handset: bool, keys: Iterable[str] = (), receiver: bool = False
) -> tuple[Input, ...]:
    """Every input of a draft, in a fixed order.

    handset: the whole pendant is there, so that each of its buttons is an input
    even where a contact of it is missing. The type's limits and thermal devices
    stay inputs when their contacts are gone: an operated limit that no longer
    opens anything must be seen.
    """
    causes = tuple(dict.fromkeys(part.by for part in draft.parts.values() if part.by))
    buttons = [f"button:{button.id}" for button in hoist.buttons]
    found = _found(causes, "button")
    pressed = [name for name in buttons if handset or name in found] + [n for n in found if n not in buttons]
    labels = {f"button:{button.id}": button.label for button in hoist.buttons}
    limits = (*(f"limit:{limit.id}" for limit in hoist.limits), *_found(causes, "limit"))
    thermals = (*(f"thermal:{id}" for id, _ in hoist.thermals), *_found(causes, "thermal"))
    inputs = [
        *_inputs("button", pressed, labels),
        *_inputs("key", keys, {}),
        *_inputs("limit", limits, {}),
        *_inputs("stop", _found(causes, "stop"), {}),
        *_inputs("thermal", thermals, {}),
    ]
    if receiver:
        inputs += [Input("link", "link"), Input("supply", "supply")]
    return (*inputs, *_selectors(_found(causes, "selector")))


def _found(causes: tuple[str, ...], kind: str) -> tuple[str, ...]:
    return tuple(cause for cause in causes if cause.startswith(f"{kind}:"))


def _inputs(kind: InputKind, names: Iterable[str], labels: Mapping[str, str]) -> list[Input]:
    """Inputs by name; a second step implies its first, which is an input too if it was not named."""
    ordered: dict[str, Input] = {}
    for name in names:
        first = name.removesuffix(".2") if name.endswith(".2") else ""
        if first and first not in ordered:
            ordered[first] = Input(first, kind, label=labels.get(first, ""))
        ordered.setdefault(name, Input(name, kind, first, labels.get(name, "")))
    return list(ordered.values())


def _selectors(causes: tuple[str, ...]) -> list[Input]:
    """Selector positions. At rest a selector stands at radio; `off` is its dead centre, through
    which every other position is reached, as a second step is reached through the first."""
    inputs = []
    for cause in causes:
        switch, _, position = cause.rpartition(".")
        centre = f"{switch}.off"
        implies = centre if position != "off" and centre in causes else ""
        inputs.append(Input(cause, "selector", implies, position))
    return sorted(inputs, key=lambda input: (input.implies != "", input.name))


def motors_of(hoist: HoistType) -> tuple[Motor, ...]:
    """The type's motors by full names."""
    return tuple(
        Motor(
            hoist_name(motor.id),
            motor.kind,
            tuple(hoist_name(part) for part in motor.parts),
            motor.positive,
            motor.negative,
            cast(Literal["hoist", "travel", "winch"], motor.duty),
            motor.hook,
            full_values(motor.values, hoist_name(motor.id)),
        )
        for motor in hoist.motors
    )


def brakes_of(hoist: HoistType) -> tuple[Brake, ...]:
    """The type's brakes by full names."""
    return tuple(
        Brake(
            hoist_name(brake.id),
            cast(Literal["flux", "coil"], brake.released_by),
            hoist_name(brake.part) if brake.part else "",
            tuple(hoist_name(motor) for motor in brake.motors),
            brake.side,
            brake.hook,
        )
        for brake in hoist.brakes
    )


def limits_of(hoist: HoistType) -> tuple[Limit, ...]:
    """The type's limiters."""
    return tuple(Limit(f"limit:{limit.id}", limit.kind, limit.motion, limit.reset) for limit in hoist.limits)


def interlocks_of(hoist: HoistType) -> tuple[tuple[str, str], ...]:
    """The type's mechanical interlocks."""
    return tuple((hoist_name(first), hoist_name(second)) for first, second in hoist.net.interlocks)


def exclusive_of(hoist: HoistType) -> tuple[tuple[str, ...], ...]:
    """Buttons of the handset of which only one at a time can be pressed."""
    return tuple(
        tuple(id if ":" in id else f"button:{id}" for id in group) for group in hoist.exclusive if group
    )


def expected_of(hoist: HoistType, kind: str) -> Mapping[str, tuple[str, ...]]:
    """What each button is there for: `button:up` -> ("hoist up",)."""
    return MappingProxyType(
        {f"{kind}:{button.id}": (button.motion,) for button in hoist.buttons if button.motion}
    )
