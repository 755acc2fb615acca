"""contact.poles: every core that a button fed is fed by its key."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed
from wiring.check.nets import Net, taking
from wiring.check.rule import both, rule
from wiring.check.rules.proof_joined_cores import core_terminals
from wiring.check.states import command, commands, settled_at, to_earth


@rule(
    "contact.poles",
    "Contacts enough for every pole",
    danger=1,
    hazard="A button with two poles replaced by one contact leaves a relay, a brake or a winding without "
    "its feed.",
    sources=(both("the hoist's own circuit", "derived"),),
    checks="For each command: the core terminals that the button brought to voltage are brought there by "
    "the key as well, or all that hung on them is fed by another way.",
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
        dark = [c for c in fed if abs(now.get(terminals[c], 0j)) <= half]
        lost = [c for c in dark if not fed_past(case, bare, terminals[c])]
        past = f"; {', '.join(dark)} left out, what it fed is fed behind it" if dark else ""
        wanted = f"voltage on cores {', '.join(fed)}" if fed else "the same cores fed"
        if lost:
            return failed(subject, f"cores {', '.join(lost)} get nothing", wanted,
                          "give each pole a contact: two outputs on one key, or a contactor with more poles",
                          key="receiver.output")  # fmt: skip
        found = f"cores {', '.join(fed)} are fed{past}" if fed else "no core is fed by this button"
        return passed(subject, found, wanted)

    items = [(f"key:{c}", c) for c in commands(case.before) if c in after]
    return case.each(items, judge)


def fed_past(case: Case, bare: str, terminal: str) -> bool:
    """True where everything that hung on a core's terminal under a command has its voltage by another way:
    the conversion lands on the motor or coil itself."""
    was = settled_at(case, "before", command(case, "before", bare))
    now = settled_at(case, "after", command(case, "after", bare))
    net = Net(case.before, was.closed)
    node = net.node(terminal)
    hung = [p.name for p, pins in taking(case.before) if any(net.node(x) == node for x in pins)]
    had = {name: abs(was.volts.get(name, 0j)) for name in hung}
    live = {name: volts for name, volts in had.items() if volts > 0.0}
    return bool(live) and all(abs(now.volts.get(n, 0j)) > volts / 2 for n, volts in live.items())
