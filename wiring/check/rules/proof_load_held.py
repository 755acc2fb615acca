"""proof.load-held: no brake is open while nothing holds the load."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.events import events
from wiring.check.faulty import pendant_too, results
from wiring.check.rule import iec, rule, us
from wiring.check.states import words
from wiring.model.behaviour import Settled
from wiring.model.circuit import Brake, Circuit

_TORQUE = ("positive", "negative")


@rule(
    "proof.load-held",
    "The brake never lets the load go",
    danger=1,
    hazard="A released brake without torque drops the load.",
    sources=(
        us("29 CFR 1910.179(f)(1)(i), (a)(20): a self-setting holding brake"),
        iec("Machinery Directive annex I 4.1.2.6(c); EN 14492-2 (recalled)"),
    ),
    checks="Every settled state, change of speed or direction and single fault: no brake is open while no "
    "motor on that "
    "hook makes torque. A worm gear or load-pressure brake that holds otherwise is stated with source.",
    needs="Brakes of the type; hoist.load_holding with source where the gear holds; the fault analysis.",
    does_not_cover="A worn brake.",
    wants="behaviour",
    faults_too=True,
)
def check(case: Case) -> Iterable[Draft]:
    for about in ("before", "after"):
        circuit = case.circuit(about)
        hoisting = {m.name for m in circuit.motors if m.duty == "hoist"}
        brakes = [b for b in circuit.brakes if hoisting & set(b.motors)]
        yield from case.each(
            [(b.name, (about, b)) for b in brakes], lambda s, item: judge(case, s, *item), about
        )


def judge(case: Case, subject: str, about: str, brake: Brake) -> Draft | None:
    """One brake of one circuit."""
    wanted = "closed whenever no motor on that hook has torque, or the gear holds the load"
    holding = case.job.hoist.load_holding
    held = holding is not None and bool(holding.source) and any(
        w in holding.by.lower() for w in ("worm", "load-pressure", "load pressure",
            "self-locking", "ratchet"))  # fmt: skip
    entry = case.hoist_type
    by = f"{holding.by} ({holding.source})" if held and holding else (entry.load_holding if entry else "")
    if held or by:
        return passed(subject, f"held otherwise: {by}", wanted, about=about, key="hoist.load_holding")
    for settled in case.settled(about):
        if let_go(case.circuit(about), brake, settled):
            return failed(subject, f"{words(settled.state)}: the brake is open, no motor has torque", wanted,
                          "take the brake's supply from behind the speed contactors", "fit a torque proof",
                          about=about, key="hoist.type")  # fmt: skip
    dropped = [e for e in events(case, ("*",), about) if e.verdict == "fail" and "let go" in e.why]
    if dropped:
        return failed(subject, f"{words(dropped[0].pressed)}, {dropped[0].event}: {dropped[0].why}", wanted,
                      "take the brake's supply from behind the speed contactors", about=about,
                      key="hoist.type")  # fmt: skip
    if about == "before":
        return passed(subject, "never open without torque in a settled state", wanted, about=about)
    return faulted(case, subject, wanted)


def faulted(case: Case, subject: str, wanted: str) -> Draft:
    """The converted circuit under single faults."""
    if case.faults is None:
        return unknown(subject, "never open without torque in a settled state; single faults not run", wanted,
                       f"holdrun prove {case.job.file} --faults single")  # fmt: skip
    bad = [r for r in results(case) if any("let go" in h.hazard for h in r.hazards)]
    if bad:
        first = min(bad, key=lambda r: r.judgement != "worse")
        said = f"{' and '.join(first.fault)}: load let go{pendant_too(first)}"
        return failed(subject, said, wanted,
                      "take the brake's supply from behind the speed contactors", "fit a torque proof",
                      "state a worm gear or load-pressure brake with its source",
                      key="hoist.load_holding")  # fmt: skip
    return passed(subject, "never open without torque, in no state and under no single fault", wanted)


def let_go(circuit: Circuit, brake: Brake, settled: Settled) -> bool:
    """True where the brake is open and no motor on its hook makes torque."""
    if brake.name not in settled.brakes_open:
        return False
    hook = {m.name for m in circuit.motors if m.hook == brake.hook and m.duty == "hoist"} | set(brake.motors)
    return not any(settled.torque.get(m) in _TORQUE for m in hook)
