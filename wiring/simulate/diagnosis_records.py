"""Commissioning records as observations for the diagnosis: voltages, directions, stops that did not stop."""

from __future__ import annotations

from collections.abc import Callable

from wiring.model.commissioning import Outcome
from wiring.simulate.diagnosis import Diagnostician
from wiring.simulate.diagnosis_probes import Seen
from wiring.simulate.expect_record import number

STILL = ("no motion", "nothing", "nothing moved", "nothing moves", "dead")
GOES_ON = ("not ok", "no", "fail", "failed", "moves", "moved", "runs on", "goes on", "stays")


def observations(outcomes: tuple[Outcome, ...], doctor: Diagnostician, mains: float) -> dict[str, Seen]:
    """Probe to what was seen, for every record of this plan that says something about a probe.
    mains: supply of the day over the planned one."""
    motions = {m for motor in doctor.circuit.motors for m in (motor.positive, motor.negative)}
    volts = {
        id.replace(":", "-").removesuffix("-rest"): id for id in doctor.probes if id.startswith("volts-")
    }
    found: dict[str, Seen] = {}
    for outcome in outcomes:
        if outcome.record is None or outcome.answer in ("missing", "repeat"):
            continue
        said = " ".join(outcome.record.measured.lower().split())
        if outcome.step.id in volts:
            read = number(outcome.step, outcome.record.measured)
            if read is not None:
                found[volts[outcome.step.id]] = read / mains
            continue
        for probe in probes_of(outcome.step.id, doctor):
            value = shown(doctor, probe, said, outcome.answer == "accept", motions)
            if value is not None:
                found[probe] = value
    return found


def probes_of(test: str, doctor: Diagnostician) -> list[str]:
    """Probes that a function test goes through."""
    kind, _, rest = test.partition("-")
    wanted: dict[str, Callable[[str], bool]] = {
        "direction": lambda id: id == f"hold-{rest}",
        "release": lambda id: id == f"release-{rest}",
        "loss": lambda id: id == f"link-{rest}",
        "limit": lambda id: id.startswith(f"limit:{rest.removesuffix('-fast')}-") and ends(doctor, id),
        "stop": lambda id: id.replace(":", "-") == f"stop-{rest}" and not id.endswith("reset"),
        "both": lambda id: id == test,
    }
    return [id for id in doctor.probes if kind in wanted and wanted[kind](id)]


def ends(doctor: Diagnostician, probe: str) -> bool:
    """True where the limit of a probe ends a motion that the key has without it."""
    held = f"hold-{probe.rpartition('-')[2]}"
    return held in doctor.probes and doctor.expected(held) != () and doctor.expected(probe) == ()


def shown(doctor: Diagnostician, probe: str, said: str, accepted: bool, motions: set[str]) -> Seen | None:
    """What a word of a record says about a probe; None where it leaves it open."""
    if accepted:
        return doctor.expected(probe)
    if said in motions:
        return (said,)
    if said in STILL:
        return ()
    if said in GOES_ON:
        states = doctor.probes[probe].states
        if len(states) > 1 or "limit" in probe:
            held = next((id for id in doctor.probes if id == f"hold-{probe.rpartition('-')[2]}"), None)
            return doctor.expected(held) if held else None
    return None
