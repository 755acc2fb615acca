"""A settled state on the sheet: what is live is drawn wide, and words say what has moved."""

from __future__ import annotations

from wiring.draw.cells import STATE as MARK
from wiring.draw.placed import Placed
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit, Part

LIVE_VOLTS = 1.0  # against earth [V]; below this a point counts as dead on the sheet
LIVE_AMPS = 0.001  # through a part [A]


def live_nets(placed: Placed, state: Settled) -> frozenset[int]:
    """Nets with a voltage against earth, and nets that carry current back."""
    found: set[int] = set()
    for net, points in placed.wiring.points.items():
        if any(abs(state.potential.get(point, 0.0)) >= LIVE_VOLTS for point in points):
            found.add(placed.merged.get(net, net))
    for item in placed.items:
        if item.point and not item.gone and abs(state.potential.get(item.point, 0.0)) >= LIVE_VOLTS:
            found.update(item.nets)
        if any(
            abs(state.amps.get(part.name, 0.0)) >= LIVE_AMPS for part in item.parts if part.kind != "source"
        ):
            found.update(item.nets)
    return frozenset(found)


def state_words(part: Part, state: Settled | None, circuit: Circuit | None = None) -> tuple[str, ...]:
    """What a part does now that it does not do at rest, in one word or two."""
    if state is None:
        return ()
    if part.kind in ("coil", "drive-input", "supply-input"):
        return (f"{MARK}IN",) if part.name in state.energised else ()
    if part.kind in ("contact", "semiconductor"):
        closed = part.name in state.closed
        if closed is (part.form == "NC"):
            return ()
        return (f"{MARK}CLOSED",) if closed else (f"{MARK}OPEN",)
    if circuit is not None:
        for motor in circuit.motors:
            if motor.parts[:1] == (part.name,):
                moving = [m for m in state.motions if m in (motor.positive, motor.negative)]
                return tuple(MARK + m.upper() for m in moving) or (
                    f"{MARK}torque {state.torque.get(motor.name, 'none')}",
                )
    return ()


def state_title(state: Settled | None) -> str:
    """The state in words for the title block; "" for none."""
    if state is None:
        return ""
    operated = ", ".join(sorted(state.state)) or "nothing operated"
    moving = ", ".join(state.motions) or "nothing moves"
    return f"state: {operated}; {moving}"
