"""mode.stop-travel: how far the hook runs after release or loss."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.calc.stop import guaranteed_time, loss_time, release_time, slide_limit
from wiring.check.asked import bench
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.loads import alternating
from wiring.check.rule import iec, rule, us
from wiring.check.rules.contact_suppression import across
from wiring.check.states import commands
from wiring.files.quantity import show
from wiring.model.circuit import Motor


@rule(
    "mode.stop-travel",
    "Travel until the hook stands",
    danger=1,
    hazard="A stop that comes late runs the hook into what is above it.",
    sources=(
        us("sum of the chain; component data pages (stop-time table)", "derived"),
        iec("sum of the chain; component data pages (stop-time table); ISO 13855 principle", "derived"),
    ),
    checks="Worst stop time, the larger of release and loss of link, with relay, contactor, what its "
    "suppressor adds, and brake; travel at hook "
    "speed in that time against the stated clearance. A DC brake that is opened only on its AC side closes "
    "many times "
    "slower and decides. Brake slide by common practice: one hundredth of a minute's travel is added.",
    needs="hoist.hook_speed, place.clearance for the motion, the time of a loss (bench or data sheet), the "
    "brake's side.",
    does_not_cover="Overrun of a worn brake; measure it at commissioning.",
    wants="circuit",
)
def check(case: Case) -> Iterable[Draft]:
    items = []
    for bare, motions in commands(case.after).items():
        motor = next((m for m in case.after.motors if set(motions) & {m.positive, m.negative}), None)
        if motor is not None and motor.duty == "hoist" and "." not in bare:
            items.append((motions[0], (bare, motor)))
    return case.each(items, lambda s, item: judge(case, s, *item))


def judge(case: Case, subject: str, bare: str, motor: Motor) -> Draft:
    """One hoisting motion."""
    speed = case.amount(
        case.job.hoist.hook_speed, "hoist.hook_speed", "read it on the plate or time it over 2 m", "m/s"
    )
    time, words = chain(case, motor)
    slide = slide_limit(speed, case.cell("hoist-practice", "slide", "ratio"))
    travel = speed * time + slide
    region = case.region
    path = (f"{words}; {show(speed, 'm/s', region)} x {show(time, 's', toward='up')} + "
            f"{show(slide, 'm', region)} slide "
            f"= {show(travel, 'm', region, toward='up')}")  # fmt: skip
    clearance = (case.job.place.clearance if case.job.place else {}).get(bare)
    found = f"stands after {show(time, 's', toward='up')} and {show(travel, 'm', region, toward='up')}"
    if clearance is None:
        raise Missing(
            f"place.clearance.{bare}", f"{found}: measure the room there is beyond the last position"
        )
    limit = case.amount(clearance, "place.clearance", unit="m")
    return compared(subject, Comparison(travel, limit, "at-most", "m"), found, "at most the clearance of "
        f"{clearance}",
                    "switch the brake on its DC side", "shorten the loss time", "set the limit lower",
                    key="place.clearance", path=path)  # fmt: skip


def chain(case: Case, motor: Motor) -> tuple[float, str]:
    """Worst stop time [s] and how it is made up."""

    def at(row: str, column: str = "time_high") -> float:
        return case.cell("stop-time", row, column)

    relay = at("relay")
    contactor, slowed = dropping(case)
    brakes = [b for b in case.after.brakes if motor.name in b.motors]
    row = "brake-ac-side" if any(b.side == "ac" for b in brakes) else "brake-dc-side"
    brake = at(row) if brakes else 0.0
    after = [at("decode"), relay, contactor, brake]
    release = release_time(at("scan"), at("frames", "ratio_high"), at("frame"), after)
    loss = loss_time(watchdog(case), after)
    whole = guaranteed_time(release, loss)
    side = {"brake-ac-side": "opened on the AC side", "brake-dc-side": "opened on the DC side or by flux"}[
        row
    ]
    words = (f"loss {show(watchdog(case), 's')} + decode {show(at('decode'), 's')} + relay "
             f"{show(relay, 's')} + contactor "
             f"{show(contactor, 's')}{slowed} + brake {show(brake, 's')} ({side})")  # fmt: skip
    return whole, words


def dropping(case: Case) -> tuple[float, str]:
    """Time in which the slowest coil lets go, its suppressor counted [s], and the suppressor in words."""
    found = [(0.0, "")]
    for coil in case.after.parts:
        if coil.kind != "coil":
            continue
        ac = alternating(case.after, coil)
        bare = case.cell("stop-time", "contactor-ac" if ac else "contactor-dc", "time_high")
        found.append((bare, ""))
        for unit in across(case, coil):
            if unit.rect == "varistor":
                time = bare + case.cell("stop-time", "varistor", "time_high")
            elif not ac and unit.rect in ("diode", "diode-zener"):
                time = bare * case.cell("stop-time", unit.rect, "ratio_high")
            else:
                continue
            found.append((time, f" ({unit.rect} across {coil.name})"))
    return max(found)


def watchdog(case: Case) -> float:
    """Time from loss of the signal to open outputs. [s]"""
    stated = case.job.receiver.on_signal_loss
    times = [b.time for b in bench(case, "battery-out") if b.time is not None]
    if stated is not None and not isinstance(stated, str):
        times.append(stated)
    if not times:
        raise Missing(
            "receiver.on_signal_loss", "bench-test it: hold the key, pull the transmitter's battery"
        )
    return max(case.amount(t, "receiver.on_signal_loss", unit="s") for t in times)
