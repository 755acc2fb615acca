"""mode.signal-loss: outputs open in time when the signal is lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.asked import bench, motion_outputs
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.verdict import holds
from wiring.files.quantity import show
from wiring.model.job import ReceiverOutput

HOW = "bench-test it: hold the key, pull the transmitter's battery, time the contact (holdrun bench-test)"


@rule(
    "mode.signal-loss",
    "Outputs open when the signal is lost",
    danger=1,
    hazard="Until the receiver notices the loss the hook keeps moving and no key can stop it.",
    sources=(
        us("29 CFR 1910.179(g)(3)(ix): the motion stops when its signal becomes ineffective; times: common "
           "practice"),
        iec("Machinery Directive annex I 1.2.1; times: common practice, ceiling ZH 1/547; EN 13557 annex C "
            "and "
            "IEC 62745 ids recalled"),
    ),
    checks="Time from loss of the signal to open contacts: up to the usual time no objection, above the "
    "ceiling or "
    "`stays` or `closes` fails. Between the two only where the travel in that time is within the stated "
    "clearance.",
    needs="A bench test `battery-out`, or receiver.on_signal_loss from the data sheet; between the limits "
    "hoist.hook_speed and place.clearance.",
    does_not_cover="Interference that is not a loss, and the stop time of contactors and brake "
    "(mode.stop-travel).",
    wants="job",
)  # fmt: skip
def check(case: Case) -> Iterable[Draft]:
    def judge(subject: str, item: tuple[int, ReceiverOutput]) -> Draft:
        _, output = item
        key = "receiver.on_signal_loss"
        wanted = "outputs open soon after the signal is lost"
        stated = case.job.receiver.on_signal_loss
        rows = bench(case, "battery-out", output.id)
        bad = [b.result for b in rows if b.result != "opens"]
        if isinstance(stated, str):
            bad.append(stated)
        if bad:
            return failed(subject, f"signal lost: the output {bad[0]}", wanted,
                          "set the outputs to open on loss", "use a receiver that opens on loss",
                          key=key)  # fmt: skip
        times = [b.time for b in rows if b.time is not None]
        if stated is not None and not isinstance(stated, str):
            times.append(stated)
        if not times:
            raise Missing(key, HOW)
        seconds = max(case.amount(t, key, unit="s") for t in times)
        return timed(case, subject, output, seconds, key)

    rows = [(name, (i, o)) for i, name, o in motion_outputs(case)]
    return case.each([*rows, *others_that_stay(case)], judge)


def others_that_stay(case: Case) -> Iterator[tuple[str, tuple[int, ReceiverOutput]]]:
    """Outputs of STOP and START that did not open on the bench: a stop that holds leaves the other alone, a
    START that holds brings the hoist back by itself."""
    for index, output in enumerate(case.job.receiver.outputs):
        held = [b for b in bench(case, "battery-out", output.id) if b.result != "opens"]
        if output.key in ("stop", "start") and held and (output.key == "stop" or landed(case, output)):
            yield f"receiver:{output.id}", (index, output)


def landed(case: Case, output: ReceiverOutput) -> bool:
    """True unless the circuit is known and nothing is joined to the contacts of an output: these move
    nothing, whatever they do."""
    circuit = case.facts.after
    if circuit is None:
        return True
    own = [p for p in circuit.parts if p.by == f"output:receiver:{output.id}"]
    wired = {pin for p in circuit.parts if p.kind == "wire" and p.owner != "receiver" for pin in p.pins}
    return any(pin in wired for p in own for pin in p.pins)


def timed(case: Case, subject: str, output: ReceiverOutput, seconds: float, key: str) -> Draft:
    """The verdict on a known time. [s]"""
    usual = case.cell("hoist-practice", "loss-usual", "time")
    ceiling = case.cell("hoist-practice", "loss-ceiling", "time")
    found = f"outputs open {show(seconds, 's', toward='up')} after the signal is lost"
    remedy = "set a shorter loss time, or use a receiver that has one"
    if not holds(seconds, ceiling, "at-most", "s"):
        return compared(subject, Comparison(seconds, ceiling, "at-most", "s"), found,
                        f"at most {show(ceiling, 's')}, whatever the risk", remedy, key=key)  # fmt: skip
    if holds(seconds, usual, "at-most", "s"):
        return compared(subject, Comparison(seconds, usual, "at-most", "s"), found,
                        f"at most {show(usual, 's')} (common practice)", key=key)  # fmt: skip
    way = (output.key or "").partition(".")[0]
    clearance = (case.job.place.clearance if case.job.place else {}).get(way)
    wanted = f"at most {show(usual, 's')} (common practice), or a travel within the clearance"
    if clearance is None:
        return unknown(subject, f"{found}; the clearance {way} is not stated", wanted,
                       remedy, f"state place.clearance for {way}", key="place.clearance")  # fmt: skip
    speed = case.amount(
        case.job.hoist.hook_speed, "hoist.hook_speed", "read it on the plate or time it over 2 m", "m/s"
    )
    travel = speed * seconds
    path = (
        f"{show(speed, 'm/s', case.region)} x {seconds:g} s = {show(travel, 'm', case.region, toward='up')}"
    )
    limit = case.amount(clearance, "place.clearance", unit="m")
    if holds(travel, limit, "at-most", "m"):
        return passed(subject, f"{found}; travel {show(travel, 'm', case.region)}, clearance {clearance}",
            wanted,
                      key=key, path=path)  # fmt: skip
    return compared(subject, Comparison(travel, limit, "at-most", "m"), f"{found}: the hook runs "
                    f"{show(travel, 'm', case.region, toward='up')} on", "at most the clearance of "
                        f"{clearance}",
                    remedy, key=key, path=path)  # fmt: skip
