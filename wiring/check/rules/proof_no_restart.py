"""proof.no-restart: nothing starts because supply, link, stop or thermal device came back."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.events import events, tell
from wiring.check.rule import iec, rule, us
from wiring.check.states import base
from wiring.model.behaviour import Event

_BACK = ("link back*", "supply back*", "stop reset*", "thermal reset*", "boot*")


@rule(
    "proof.no-restart",
    "Nothing starts by itself when something comes back",
    danger=1,
    hazard="Power, link or a reset starts the hook while people work at the load.",
    sources=(
        us("29 CFR 1910.179(g)(3)(i),(viii)"),
        iec("Machinery Directive annex I 1.2.3, 1.2.4.3, 1.2.6; ISO 12100 6.2.11.4"),
    ),
    checks="Supply, link, stop and thermal device go and come back, with and without the key held: nothing "
    "moves "
    "without a fresh press. Where the pendant did the same in the same event it is said so.",
    needs="The simulation; receiver.neutral_check and receiver.on_supply_return.",
    does_not_cover="A person who holds the key on purpose through a reset that the pendant answered alike.",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    names = sorted({e.event for e in events(case, _BACK)})
    return case.each([(n, n) for n in names], lambda s, name: judge(case, s, list(events(case, (name,)))))


def judge(case: Case, subject: str, found: list[Event]) -> Draft:
    """One kind of event over all states it was tried in."""
    wanted = "nothing moves until a key is pressed anew"
    bad = [e for e in found if e.verdict == "fail" or (e.verdict == "unknown" and e.motions)]
    fresh = [e for e in bad if not before_too(case, e)]
    remedies = ("set or use a receiver that asks for keys at rest first",
                "add a main contactor with a START key in the stop path")  # fmt: skip
    sure = [e for e in fresh if e.verdict == "fail" and not silent(case, e)]
    if sure:
        worst = min(sure, key=lambda e: len(e.pressed) + len(e.open))
        return failed(subject, tell(worst), wanted, *remedies, key="receiver.neutral_check")
    if fresh or any(e.verdict == "unknown" for e in found if not before_too(case, e)):
        worst = next(iter(fresh), None) or next(e for e in found if e.verdict == "unknown")
        how = "bench-test it: hold the key, supply off and on; state receiver.neutral_check"
        return unknown(subject, tell(worst), wanted, how, key="receiver.neutral_check")
    if bad:
        return passed(subject, f"{tell(bad[0])}; the pendant had this too", wanted)
    return passed(subject, f"nothing starts in {len(found)} states", wanted)


def silent(case: Case, event: Event) -> bool:
    """True where a start hangs on a neutral check that nobody recorded."""
    held = event.event.startswith(("link back held", "supply back held"))
    return held and case.job.receiver.neutral_check is None


def before_too(case: Case, event: Event) -> bool:
    """True where the pendant answered the same event in the same state with the same motion."""
    # a stop of the plan takes the place of the pendant's: their resets are one event
    pressed = {p.replace("key:", "button:", 1) for p in event.pressed}
    moved = {base(m) for m in event.motions}
    return any(
        (e.subject == event.subject or "stop" in event.event)
        and e.pressed
        and set(e.pressed) <= pressed
        and moved <= {base(m) for m in e.motions}
        for e in events(case, (event.event,), "before")
    )
