"""contact.poles: every core that a button fed is fed by its key."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.rule import both, rule
from wiring.check.rules.proof_joined_cores import core_terminals
from wiring.check.states import command, commands, to_earth


@rule(
    "contact.poles",
    "Contacts enough for every pole",
    danger=1,
    hazard="A button with two poles replaced by one contact leaves a relay, a brake or a winding without "
    "its feed.",
    sources=(both("the hoist's own circuit", "derived"),),
    checks="For each command: the core terminals that the button brought to voltage are brought there by "
    "the key as well.",
    needs="Both circuits; a contact for every pole of the button.",
    does_not_cover="Cores that get voltage in addition (proof.joined-cores).",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    after = commands(case.after)
    terminals = core_terminals(case)

    def judge(subject: str, bare: str) -> Draft:
        rest = to_earth(case, "before", ())
        was = to_earth(case, "before", command(case, "before", bare))
        now = to_earth(case, "after", command(case, "after", bare))
        half = max((abs(was.get(p, 0j)) for p in terminals.values()), default=0.0) / 2
        fed = [c for c, p in terminals.items() if abs(was.get(p, 0j)) > half >= abs(rest.get(p, 0j))]
        lost = [c for c in fed if abs(now.get(terminals[c], 0j)) <= half]
        wanted = f"voltage on cores {', '.join(fed)}" if fed else "the same cores fed"
        if lost:
            return failed(subject, f"cores {', '.join(lost)} get nothing", wanted,
                          "give each pole a contact: two outputs on one key, or a contactor with more poles",
                          key="receiver.output")  # fmt: skip
        return passed(
            subject, f"cores {', '.join(fed)} are fed" if fed else "no core is fed by this button", wanted
        )

    items = [(f"key:{c}", c) for c in commands(case.before) if c in after]
    return case.each(items, judge)
