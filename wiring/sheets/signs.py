"""Warning signs to fix on the receiver and the boxes, made from what the circuit says is live there."""

from __future__ import annotations

from wiring.model.circuit import Stop
from wiring.model.plan import Plan

LOCKING = ("isolator", "plug")


def isolating(plan: Plan) -> tuple[Stop, ...]:
    """Stops of the converted circuit at which it can be isolated."""
    circuit = plan.after or plan.before
    return tuple(s for s in circuit.stops if s.kind in LOCKING) if circuit else ()


def place_of(stop: Stop) -> str:
    """A stop by name, kind and place."""
    return f"{stop.input.removeprefix('stop:')} ({stop.kind}{', ' + stop.where if stop.where else ''})"


def signs(plan: Plan, live_after: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """Texts of the signs. live_after: stops that leave something live in the receiver."""
    where = " or ".join(place_of(s) for s in isolating(plan)) or "the isolation point (not in the circuit!)"
    supply = plan.job.supply.voltage.text if plan.job.supply.voltage else "supply voltage"
    found = [
        (
            "RADIO RECEIVER",
            f"Live from {where}.",
            "The transmitter isolates nothing.",
            still_live(live_after),
        ),
        (
            "HOIST BOX",
            f"Up to {supply} inside.",
            f"Open and lock {where} first.",
            "Prove dead before touching.",
        ),
        ("RADIO CONTROLLED", "This hoist may start without a person beside it.", "Keep clear of the load."),
    ]
    if any(part.kind == "capacitor" for part in (plan.after.parts if plan.after else ())):
        found.append(
            ("CAPACITOR INSIDE", "Stays charged after switching off.", "Wait, bleed, measure below 50 V.")
        )
    return tuple(tuple(line for line in sign if line) for sign in found)


def still_live(live_after: tuple[str, ...]) -> str:
    """Which stops leave terminals of the receiver live: named on its sign."""
    names = ["the STOP key" if name == "key:stop" else name.removeprefix("stop:") for name in live_after]
    return f"Stays live after {', '.join(names)}." if names else ""
