"""Good plans for the sabotage campaign: every hoist type with receivers that fit it, every fact stated.

The planner proposes the wiring; what an owner, a plate, a data sheet and a book would say is put in
here, so that no rule is left without a figure and a slip cannot hide behind what nobody stated.
"""

from __future__ import annotations

import functools
import tomllib
from dataclasses import dataclass
from typing import Any

from tests.campaign.remedy import text_of
from tests.planner.made import CATALOG, job_of, lived_in
from tests.rules.cases import dump
from wiring.check.recalled import recalled
from wiring.circuit import build_after, build_before
from wiring.files import read_job
from wiring.model.finding import Verdict
from wiring.model.job import Job
from wiring.model.plan import Plan
from wiring.model.value import Value
from wiring.pipeline import plan
from wiring.planner.propose import propose_connections

Data = dict[str, Any]

#: Receivers that fit each hoist type (tests/planner keeps the whole table); one where no other fits.
PAIRS = {
    "capacitor-in-handset-230": ("six-channel-stop-pair", "eight-channel-two-speed"),
    "capacitor-motor-both-ends-120": ("six-channel-stop-pair", "two-channel-dry"),
    "capacitor-motor-direct-120": ("two-channel-dry", "four-channel-dry-dc", "six-channel-stop-pair"),
    "capacitor-motor-direct-120-second-return": ("two-channel-dry", "six-channel-stop-pair"),
    "capacitor-motor-direct-230": ("six-channel-stop-pair", "eight-channel-two-speed"),
    "capacitor-motor-direct-240-two-line": ("two-channel-dry", "six-channel-stop-pair"),
    "capacitor-motor-limits-in-loop-230": ("six-channel-stop-pair", "two-channel-fed"),
    "drive-npn": ("eight-channel-two-speed",),
    "drive-pnp-two-channel-stop": ("eight-channel-two-speed",),
    "main-auxiliary-direct-120": ("two-channel-dry", "eight-channel-two-speed"),
    "reversing-contactors-115": ("six-channel-stop-pair", "two-channel-dry", "eight-channel-two-speed"),
    "reversing-contactors-24": ("six-channel-stop-pair", "two-channel-dry"),
    "reversing-contactors-24-unearthed": ("six-channel-stop-pair", "two-channel-dry"),
    "reversing-contactors-48": ("six-channel-stop-pair", "two-channel-dry", "eight-channel-two-speed"),
    "three-phase-direct-three-pole-460": ("six-channel-stop-pair", "two-channel-dry"),
    "three-phase-direct-two-pole-400": ("six-channel-stop-pair", "eight-channel-two-speed"),
    "two-speed-crane-115": ("eight-channel-two-speed",),
    "universal-motor-120": ("two-channel-dry", "four-channel-dry-dc"),
    "winch-negative-switching-12": ("four-channel-dry-dc", "winch-high-side"),
    "winch-permanent-magnet-12": ("four-channel-dry-dc", "winch-high-side"),
    "winch-series-12": ("four-channel-dry-dc", "winch-high-side"),
}

#: What a data sheet prints for a relay output, and for added devices by kind.
OUTPUT = {
    "resistive": "10 A", "ac15_120": "3 A", "ac15_240": "3 A", "dc13_24": "3 A", "pilot": "B300",
    "make": "30 A", "voltage_ac": "300 V", "voltage_dc": "60 V", "min_load": "1 mA 5 V", "fuse_max": "10 A",
    "electrical_life": 3000000, "source": "data sheet p. 2",
}  # fmt: skip
CONTACTOR = {
    "motor_120": "1 hp", "motor_240": "2 hp", "ac3": "25 A", "ac4": "12 A", "ac15_120": "6 A",
    "ac15_240": "3 A", "dc13_24": "3 A", "voltage_ac": "600 V", "voltage_dc": "60 V", "resistive": "30 A",
    "make": "250 A", "pilot": "A600", "min_load": "1 mA 5 V", "fuse_max": "35 A", "electrical_life": 3000000,
    "source": "data sheet of the device p. 3",
}  # fmt: skip
ISOLATOR = {
    "resistive": "600 A", "make": "1000 A", "voltage_ac": "690 V", "voltage_dc": "60 V", "ac3": "600 A",
    "source": "print on the switch",
}  # fmt: skip


@dataclass(frozen=True)
class Base:
    """A good plan: its job as data, and the plan of it. by: hoist and receiver."""

    name: str
    data: Data
    job: Job
    plan: Plan

    @functools.cached_property
    def text(self) -> str:
        """The job as a file."""
        return dump(self.data)


def planned(data: Data, faults: str = "none") -> tuple[Job, Plan]:
    """The job of some data, planned."""
    job = read_job(dump(data), "made.toml", CATALOG)
    return job, plan(job, CATALOG, faults=faults)


@functools.cache
def base(hoist: str, receiver: str) -> Base | None:
    """The good plan of a hoist and a receiver; None where the planner finds no way that stands."""
    found = propose_connections(lived_in(job_of(hoist, receiver)), CATALOG, plan)
    if not found:
        return None
    data = tomllib.loads(text_of(found[0].job))
    stated(data, found[0].job)
    confirmed(data)
    job, made = planned(data)
    return Base(f"{hoist} + {receiver}", data, job, made)


def stated(data: Data, job: Job) -> None:
    """Put in what the owner, the plates and the data sheets say."""
    hoist = CATALOG.hoists[job.hoist.type or ""]
    us = job.region == "us"
    data["job"] |= {
        "country": "US" if us else "AT", "people": "outside", "revision": "A", "prepared_by": "the owner",
    }  # fmt: skip
    data["gate"] = dict.fromkeys(
        ("locked", "load_landed", "tester_proved", "poles_dead", "tester_proved_again",
         "transmitter_battery_out"), True,
    ) | {"isolated_at": "wall isolator", "capacitor_volts": "1 V"}  # fmt: skip
    data["place"] = {
        "outside_scope": [], "sees_load": "always", "environment": "indoor, dry",
        "clearance": {b.id: "3 m" for b in hoist.buttons if b.motion and not b.id.endswith(".2")},
        "risk": {"severity": "slight", "exposure": "seldom", "avoidance": "possible", "by": "the owner"},
    }  # fmt: skip
    data["supply"] |= {
        "voltage": f"{hoist.voltage.si:g} V", "tolerance": "5 %", "rcd": "none", "fault_current": "500 A",
        "protective_device": {"kind": "breaker", "rating": "20 A" if us else "16 A", "source": "label"},
    }  # fmt: skip
    if hoist.frequency.si:
        data["supply"]["frequency"] = f"{hoist.frequency.si:g} Hz"
    data["hoist"] |= {"hook_speed": "6 m/min", "starts_per_hour": 20}
    data["cord"] |= {"type": cord(us), "size": "14 AWG" if us else "1.5 mm2", "length": "4 m"}
    for cable in data.get("cable", []):
        cable |= {
            "type": cord(us), "size": "12 AWG" if us else "4 mm2", "length": "5 m", "ambient": "30 degC",
        }  # fmt: skip
    receiver_stated(data, job)
    stops_stated(data, job)
    suppressed(data, job)
    data["value"] = values(read_job(dump(data), "made.toml", CATALOG))
    data["bench"] = bench(data)
    data["record"] = records(job)
    data["answer"] = [
        {"requirement": r, "text": t}
        for r, t in (("people.beside", "nobody is near"), ("conductor.rating", "gland with strain relief"),
                     ("place.radio", "none on the site"), ("supply.standing-drain", "100 Ah"),
            ("conductor.colours", "no green conductor carries anything but earth"),
                     ("supply.motor-overload", "set to the plate"),
                     ("place.ingress", "receiver in an IP65 box"))
    ]  # fmt: skip


def cord(us: bool) -> str:
    """A cord that is allowed for a pendant."""
    return "cord-so" if us else "h07rn-f"


def receiver_stated(data: Data, job: Job) -> None:
    """Modes, ratings, jumpers and the stop function as a data sheet and the bench give them."""
    kind = CATALOG.receivers[job.receiver.type or ""]
    data["receiver"] |= {
        "opposing": kind.opposing, "dead_time": "3 s", "on_supply_return": "off", "neutral_check": True,
        "stop_function": {"exists": bool(kind.stop_outputs)},
    }  # fmt: skip
    if kind.stop_outputs:
        data["receiver"]["stop_function"] |= {
            "outputs": len(kind.stop_outputs), "redundant": True, "level": "PL c", "claimed_by": "its maker",
        }  # fmt: skip
    for output in data["receiver"]["output"]:
        output |= {"mode_set_by": "factory", "mode_source": "bench", "rating": dict(OUTPUT)}
    jumpers = [p for p in kind.net.parts if p.role == "jumper"]
    known = {row["id"]: row for row in data["receiver"].get("jumper", [])}
    data["receiver"]["jumper"] = [known.get(p.id, {"id": p.id, "fitted": p.fitted}) for p in jumpers]
    if not jumpers:
        del data["receiver"]["jumper"]
    for row in data.get("transmitter", []):
        row |= {"enable_key": True, "auto_off": "300 s"}
    for device in data.get("device", []):
        of = CATALOG.devices[device["type"]]
        if of.kind not in ("fuse", "terminal-box", "suppressor", "supply-unit", "capacitor"):
            device["rating"] = dict(ISOLATOR if of.kind.endswith("isolator") else CONTACTOR)


def stops_stated(data: Data, job: Job) -> None:
    """The plug hangs by the hoist where the type has one."""
    if any(stop.id == "plug" for stop in CATALOG.hoists[job.hoist.type or ""].stops):
        data.setdefault("stop", []).append(
            {"id": "S9", "kind": "plug", "device": "hoist:plug", "reach": "near", "distance": "3 m",
             "path_clear": True, "lockable": True, "where": "socket by the door"}
        )  # fmt: skip


def suppressed(data: Data, job: Job) -> None:
    """A varistor across every coil that has none: it leaks nothing and stores nothing."""
    after = build_after(job, CATALOG)
    taken = {frozenset(end for end in pins.pins) for pins in after.parts if pins.kind == "suppressor"}
    for part in after.parts:
        if part.kind != "coil" or frozenset(part.pins) in taken or part.name == "hoist:PS":
            continue
        number = f"Z{len(data.setdefault('device', [])) + 31}"
        data["device"].append({"id": number, "type": "suppressor-varistor"})
        data["connection"] += [
            {"from": part.pins[0], "to": f"{number}:1"}, {"from": part.pins[1], "to": f"{number}:2"},
        ]  # fmt: skip


def values(job: Job) -> list[Data]:
    """Every figure of both circuits that a plate or a data sheet can give, as it stands there."""
    found: dict[str, Data] = {}
    for circuit in (build_before(job, CATALOG), build_after(job, CATALOG)):
        for item in (*circuit.parts, *circuit.motors):
            for key, value in item.values.items():
                told = value.basis in ("placeholder", "memory") and item.name.partition(":")[0] != "pendant"
                if told and not (key == "resistance" and item.kind in ("wire", "contact")) and text(value):
                    of = f"{item.name}.{key}"
                    found[of] = {"of": of, "is": text(value), "source": "plate"}
        for part in circuit.parts:
            if part.by.startswith(("stop:", "selector:")) and part.role == "power":
                of = f"{part.name}.rating"
                found.setdefault(of, {"of": of, "is": "600 A", "source": "breaking current, print"})
    supply = next(p for p in CATALOG.receivers[job.receiver.type or ""].net.parts if p.kind == "supply-input")
    for of, most in ((f"receiver:{supply.id}.maximum", supply.values["maximum"].si),):
        found[of] = {"of": of, "is": "264 V" if 230 < most < 264 else f"{plain(most)} V", "source": "plate"}
    hot = {"of": "receiver.temperature_max", "is": "60 degC", "source": "data sheet p. 2"}
    found[hot["of"]] = hot
    if job.supply.system == "dc":
        standing = {"of": "receiver.standing_current", "is": "0.003 A", "source": "data sheet p. 2"}
        found["receiver.standing_current"] = standing
    return list(found.values())


WORDS = {"A": "A", "V": "V", "ohm": "ohm", "W": "W", "VA": "VA", "s": "s", "Hz": "Hz", "F": "uF", "1": "%"}


def text(value: Value) -> str:
    """A figure as a person writes it; "" for a unit that no plate prints."""
    if value.unit not in WORDS:
        return ""
    scale = {"F": 1e6, "1": 100}.get(value.unit, 1)
    return f"{plain(value.si * scale)} {WORDS[value.unit]}"


def plain(number: float) -> str:
    """A number written out, with nine figures at most."""
    digits = 9 if abs(number) < 1 else 6 if abs(number) < 10 else 3
    return f"{float(f'{number:.7g}'):.{digits}f}".rstrip("0").rstrip(".")


def bench(data: Data) -> list[Data]:
    """Every bench test of every output that has a key, as it ought to come out."""
    rows: list[Data] = []
    for output in data["receiver"]["output"]:
        if not output.get("key"):
            continue
        for test, result, time in (
            ("rest", "opens", ""), ("key", "closes", ""), ("release", "opens", "0.1 s"),
            ("battery-out", "opens", "0.4 s"), ("supply-return", "stays", ""),
            ("supply-return-held", "stays", ""), ("opposite", "opens", ""), ("range", "opens", ""),
        ):  # fmt: skip
            row = {"test": test, "output": output["id"], "result": result}
            rows.append(row | ({"time": time} if time else {}))
    return rows


def records(job: Job) -> list[Data]:
    """The hoist was tried with its pendant before anything was opened."""
    before = build_before(job, CATALOG)
    tests = [b.removeprefix("button:") for i in before.inputs if (b := i.name).startswith("button:")]
    tests += [i.name for i in before.inputs if i.kind in ("limit", "stop")]
    tests += ["brake"] * bool(before.brakes)
    return [{"test": f"as-found {test}", "measured": "works", "by": "the owner"} for test in tests]


def confirmed(data: Data) -> None:
    """Every recalled figure read up by two people, and found as it stands."""
    job, made = planned(data)
    rows = recalled(job, CATALOG, made.report)
    data["confirm"] = [
        {"entry": r.id, "is": figure(r.ours, r.unit),
         "by": "first reader", "second": "second reader", "source": "code book p. 1"}
        for r in rows if "/" in r.id
    ]  # fmt: skip
    if not data["confirm"]:
        del data["confirm"]


def figure(number: float, unit: str) -> str:
    """A confirmed figure in the unit that its book prints."""
    scale, word = {"F/m": (1e12, "nF/km"), "m2": (1e6, "mm2"), "1": (1, "")}.get(unit, (1, unit))
    return f"{plain(number * scale)} {word}".strip()


def of_verdict(found: Plan, verdict: Verdict) -> set[tuple[str, str]]:
    """Rule and subject of the findings about the conversion with a verdict."""
    return {(f.rule, f.subject) for f in found.report.findings if f.verdict is verdict and f.about == "after"}
