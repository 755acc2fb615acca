"""Small circuits for the tests, written as rows of (name, kind, pins, ...)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from wiring.model.circuit import Brake, Circuit, Input, Motor, Output, Part, Point
from wiring.model.value import certain


def part(
    name: str, kind: Any, pins: str, by: str = "", form: str = "", rect: str = "", **values: float
) -> Part:
    """A part; pins separated by blanks, `NO`/`NC` in form, values in SI."""
    numbers = {k: certain(f"{name}.{k}", v, "", "stated", "test") for k, v in values.items()}
    if kind in ("contact", "semiconductor") and not form:
        form = "NO"
    return Part(name, kind, tuple(pins.split()), "hoist", form, by, rect=rect, values=numbers)  # type: ignore[arg-type]


def inputs(names: str, implies: dict[str, str] | None = None) -> tuple[Input, ...]:
    """Inputs by name; the word before the colon is the kind."""
    chain = implies or {}
    return tuple(Input(n, n.partition(":")[0], chain.get(n, "")) for n in names.split())  # type: ignore[arg-type]


def circuit(parts: Iterable[Part], operated: str, **more: Any) -> Circuit:
    """A circuit of these parts; points are taken from the pins."""
    listed = tuple(parts)
    names = dict.fromkeys(pin for p in listed for pin in p.pins)
    points = tuple(Point(n, "hoist", True, "hoist") for n in names)
    chain = more.pop("implies", None)
    given = more.pop("inputs", None) or inputs(operated, chain)
    return Circuit(more.pop("about", "before"), points, listed, given, earth=more.pop("earth", "PE"), **more)


def capacitor_hoist(**more: Any) -> Circuit:
    """230 V capacitor motor switched by the handset itself, two limits, a stop, a thermal cut-out."""
    parts = [
        part("V1", "source", "L N", voltage=230, frequency=50),
        part("BOND", "wire", "N PE"),
        part("F1", "fuse", "L LF", rating=10),
        part("TP", "contact", "N MC", "thermal:TP", "NC"),
        part("WA", "winding", "A MC", resistance=15, run_r=105.8, run_x=105.8, locked_r=29, locked_x=34.5),
        part("WB", "winding", "B MC", resistance=15, run_r=105.8, run_x=105.8, locked_r=29, locked_x=34.5),
        part("C1", "capacitor", "A B", capacitance=16e-6),
        part("LSU", "contact", "UPH A", "limit:up", "NC"),
        part("LSD", "contact", "DNH B", "limit:down", "NC"),
        part("core:1", "wire", "LF pF"),
        part("core:2", "wire", "UPH pU"),
        part("core:3", "wire", "DNH pD"),
        part("ES", "contact", "pF pG", "stop:ES", "NC"),
        part("SU", "contact", "pG pU", "button:up"),
        part("SD", "contact", "pG pD", "button:down"),
    ]
    motor = Motor("motor", "capacitor", ("WA", "WB"), "hoist up", "hoist down")
    return circuit(
        parts,
        "button:up button:down stop:ES limit:up limit:down thermal:TP",
        motors=(motor,),
        brakes=(Brake("BR", "flux", "", ("motor",)),),
        auto_reset=("thermal:TP",),
        **more,
    )


def coil(name: str, pins: str) -> Part:
    """A 24 V contactor coil."""
    return part(
        name, "coil", pins, voltage=24, resistance=6.2, inrush=70, inrush_pf=0.75, sealed=8, sealed_pf=0.3
    )


def supply() -> list[Part]:
    """Three phases, fuses, a 400/24 V control transformer with earthed common and fuse."""
    return [
        part("V1", "source", "L1 N", voltage=230.94, frequency=50, phase=0),
        part("V2", "source", "L2 N", voltage=230.94, frequency=50, phase=-120),
        part("V3", "source", "L3 N", voltage=230.94, frequency=50, phase=120),
        part("BOND", "wire", "N PE"),
        part("F1", "fuse", "L1 A1", rating=10),
        part("F2", "fuse", "L2 A2", rating=10),
        part("F3", "fuse", "L3 A3", rating=10),
        part(
            "T1", "transformer", "A1 A2 X1 X2", primary=400, secondary=24, power=63,
            primary_resistance=70, secondary_resistance=0.35, impedance=0.06,
        ),
        part("XB", "wire", "X2 PE"),
        part("F4", "fuse", "X1 C1", rating=2),
        part("OL", "contact", "C1 C2", "thermal:OL", "NC"),
    ]  # fmt: skip


def reversing(up: str, down: str) -> list[Part]:
    """Two cross-interlocked contactors, limits, motor and brake; coil feeds at the points given."""
    poles = [
        part(f"K{k}.{n}", "contact", f"{line} {load}", f"coil:K{k}")
        for k, loads in ((1, "UVW"), (2, "VUW"))
        for n, (line, load) in enumerate(zip(("A1", "A2", "A3"), loads, strict=True))
    ]
    return [
        part("LSU", "contact", f"{up} u1", "limit:up", "NC"),
        part("K2.nc", "contact", "u1 u2", "coil:K2", "NC"),
        coil("K1", "u2 X2"),
        part("LSD", "contact", f"{down} d1", "limit:down", "NC"),
        part("K1.nc", "contact", "d1 d2", "coil:K1", "NC"),
        coil("K2", "d2 X2"),
        *poles,
        part("motor", "motor3", "U V W", resistance=6, run_r=51, run_x=38, locked_r=7.5, locked_x=9.6),
        part("BR", "brake", "U V", rect="half", resistance=1080, voltage=180),
    ]


MOTOR3 = Motor("motor", "three-phase", ("motor",), "hoist up", "hoist down")
BRAKE = Brake("BR", "coil", "BR", ("motor",), "ac")


def contactor_hoist(**more: Any) -> Circuit:
    """Reversing contactors, 24 V control, pendant with stop, up, down."""
    parts = [
        *supply(),
        *reversing("UPH", "DNH"),
        part("ES", "contact", "C2 g", "stop:ES", "NC"),
        part("SU", "contact", "g UPH", "button:up"),
        part("SD", "contact", "g DNH", "button:down"),
    ]
    more.setdefault("interlocks", (("K1", "K2"),))
    return circuit(
        parts,
        "button:up button:down stop:ES limit:up limit:down thermal:OL",
        motors=(MOTOR3,),
        brakes=(BRAKE,),
        **more,
    )


def receiver_hoist(
    mode: str | None = "momentary", output: dict[str, Any] | None = None, **more: Any
) -> Circuit:
    """The contactor hoist with a receiver on its control transformer."""
    setting = {"on_loss": "opens", "on_return": "off", "neutral_check": True, **(output or {})}
    parts = [
        *supply(),
        *reversing("UPH", "DNH"),
        part("receiver:supply", "supply-input", "C1 X2", minimum=20.4, maximum=26.4, power=12),
        part("receiver:UP", "contact", "C2 UPH", "output:receiver:UP"),
        part("receiver:DOWN", "contact", "C2 DNH", "output:receiver:DOWN"),
    ]
    outputs = tuple(
        Output(f"receiver:{k.upper()}", f"key:{k}", mode, "logic", **setting) for k in ("up", "down")
    )
    more.setdefault("interlocks", (("K1", "K2"),))
    return circuit(
        parts,
        "key:up key:down limit:up limit:down thermal:OL link supply",
        about="after",
        outputs=outputs,
        motors=(MOTOR3,),
        brakes=(BRAKE,),
        **more,
    )


def winch(**more: Any) -> Circuit:
    """12 V permanent-magnet winch, two changeover contactors resting on negative."""
    parts = [
        part("V1", "source", "BP BN", voltage=12.6, frequency=0),
        part("CH", "wire", "BN PE"),
        part("F1", "fuse", "BP FP", rating=10),
        part("KI.no", "contact", "BP M1", "coil:KI"),
        part("KI.nc", "contact", "M1 BN", "coil:KI", "NC"),
        part("KO.no", "contact", "BP M2", "coil:KO"),
        part("KO.nc", "contact", "M2 BN", "coil:KO", "NC"),
        part("WM", "winding", "M1 M2", resistance=0.035, run_r=0.19, run_x=0, locked_r=0.035, locked_x=0),
        part("KI", "coil", "INH BN", voltage=12, resistance=10),
        part("KO", "coil", "OUTH BN", voltage=12, resistance=10),
        part("SI", "contact", "FP INH", "button:in"),
        part("SO", "contact", "FP OUTH", "button:out"),
    ]
    motor = Motor("winch", "dc-permanent-magnet", ("WM",), "winch in", "winch out", "winch")
    return circuit(parts, "button:in button:out", motors=(motor,), **more)


def second_step(mode: str) -> Circuit:
    """The receiver hoist with a second step of `up` that takes the place of the first."""
    plain = receiver_hoist(mode, {"neutral_check": False})
    first = replace(plain.outputs[0], yields_to=("key:up.2",))
    step = Input("key:up.2", "key", implies="key:up")
    return replace(plain, outputs=(first, *plain.outputs[1:]), inputs=(*plain.inputs, step))
