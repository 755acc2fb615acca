"""mode.supply-return: outputs come back off when the receiver's supply returns."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.asked import bench
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "mode.supply-return",
    "Outputs come back off after a break of the supply",
    danger=1,
    hazard="A receiver that restores its outputs starts the hook when power returns, with nobody at a key.",
    sources=(
        us("29 CFR 1910.179(g)(3)(viii): no start by itself when power comes back"),
        iec("ISO 12100 6.2.11.4; Machinery Directive annex I 1.2.6"),
    ),
    checks="The state of the outputs after the receiver's supply was off and on again.",
    needs="A bench test `supply-return`, or receiver.on_supply_return from the data sheet, or the type's "
    "entry.",
    does_not_cover="A key that is held at that moment (proof.no-restart) and glitches of some milliseconds "
    "at boot.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    job, entry = case.job, case.receiver_type
    subject, key, wanted = (
        "receiver",
        "receiver.on_supply_return",
        "all outputs off until a key is pressed anew",
    )
    rows = bench(case, "supply-return")
    closed = [b for b in rows if b.result in ("closes", "restores")]
    remedies = ("switch the memory function off", "use a receiver that powers up off")
    if closed:
        yield failed(subject, f"on the bench {closed[0].output or 'an output'} comes back closed", wanted,
            *remedies,
                     key=key)  # fmt: skip
        return
    state = job.receiver.on_supply_return or (entry.on_return if entry else None)
    if state is None and not rows:
        yield unknown(subject, "what the outputs do when supply returns is not known", wanted,
                      "bench-test it: output closed, supply off, key released, supply on",
                      key=key)  # fmt: skip
    elif state == "restores":
        yield failed(subject, "outputs take their last state back", wanted, *remedies, key=key)
    elif rows:
        yield passed(subject, "on the bench all outputs stay off when supply returns", wanted, key=key)
    elif job.receiver.on_supply_return and job.receiver.source:
        yield passed(subject, f"outputs come back off by {job.receiver.source}", wanted, key=key)
    else:
        yield unknown(subject, "outputs come back off by the class of receiver, not by this one's data "
                               "sheet", wanted,
                      "bench-test it: output closed, supply off, key released, supply on",
                      key=key)  # fmt: skip
