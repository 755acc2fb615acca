"""proof.joined-cores: cores that the handset kept apart and the conversion joins for good."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown, with_number
from wiring.check.nets import Net, resting
from wiring.check.rule import iec, rule, us
from wiring.check.states import command, commands, settled_at, words
from wiring.files.quantity import show
from wiring.model.circuit import Circuit

#: A load below this share of its rated voltage has nothing on it that a joint could have brought.
_FLOOR = 0.02


@rule(
    "proof.joined-cores",
    "Cores the handset kept apart stay apart, or harmlessly joined",
    danger=1,
    hazard="Two returns on one terminal feed each other: a load gets voltage while another key is held.",
    sources=(us("circuit theory; 29 CFR 1910.179(g)(3)"), iec("circuit theory; IEC 60204-1 9.4.1")),
    checks="Every pair of core terminals that the handset kept apart in some state and that wires now join. "
    "It passes "
    "only if in every state and under every single fault no load gets a voltage it did not have, and no "
    "limit, "
    "interlock or stop is bypassed. Pairs the handset joined and nothing joins any more are named too.",
    needs="Both circuits; for a pass the analysis of single faults.",
    does_not_cover="Joints inside the receiver that its type does not show.",
    wants="behaviour",
    faults_too=True,
)
def check(case: Case) -> Iterable[Draft]:
    terminals = core_terminals(case)
    newly = [(f"core:{a} + core:{b}", (a, b)) for a, b in _pairs(terminals) if joined(case, terminals, a, b)]
    yield from case.each(newly, lambda s, pair: judge(case, s, pair))
    if not newly:
        yield passed("cores", f"none of {len(terminals)} cores are newly joined", "cores apart as before")


def core_terminals(case: Case) -> dict[str, str]:
    """Core id to the hoist terminal it sits on, earth left out."""
    found = {}
    for core in case.job.cores:
        point = case.before.aliases.get(f"core:{core.id}")
        if point and core.role != "earth":
            found[core.id] = point
    return found


def _pairs(terminals: dict[str, str]) -> Iterator[tuple[str, str]]:
    names = list(terminals)
    return ((a, b) for i, a in enumerate(names) for b in names[i + 1 :])


def joined(case: Case, terminals: dict[str, str], a: str, b: str) -> bool:
    """True where wires alone join two core terminals now and the handset kept them apart at rest."""
    now = case.facts.cache.setdefault("wires after", Net(case.after, ()))
    was = case.facts.cache.setdefault("rest before", Net(case.before, resting(case.before)))
    one, two = terminals[a], terminals[b]
    return bool(now.same(one, two)) and not was.same(one, two)


def judge(case: Case, subject: str, pair: tuple[str, str]) -> Draft:
    """One pair of cores: what it brings to a load, over all states that were settled."""
    wanted = "no load with a voltage it did not have, no limit, interlock or stop bypassed"
    remedy = (
        f"give core {pair[1]} a contact of its own",
        "use an output with a second pole, or an interposing relay",
    )
    apart = apart_while(case, pair)
    fed = fed_by_joint(case)
    if fed:
        state, load, volts, share = fed
        found = (f"the handset kept these apart while {apart}; {state}: {show(volts, 'V')} on {load}, "
                 f"{share:.2f} of its rated voltage")  # fmt: skip
        return with_number(failed(subject, found, wanted, *remedy, key="connection"), volts, "V")
    faults = case.faults
    if faults is None:
        return unknown(subject, f"the handset kept these apart while {apart}; no state shows harm, single "
                                "faults not run",
                       wanted, f"holdrun prove {case.job.file} --faults single", *remedy,
                       key="connection")  # fmt: skip
    worse = [
        r for r in faults.results if r.judgement == "worse" and any(p in " ".join(r.fault) for p in pair)
    ]
    if worse:
        return failed(subject, f"the handset kept these apart while {apart}; {' and '.join(worse[0].fault)}: "
                      f"{worse[0].hazards[0].hazard if worse[0].hazards else 'worse than before'}", wanted,
                      *remedy,
                      key="connection")  # fmt: skip
    return passed(
        subject,
        f"the handset kept these apart while {apart}; no state and no single fault shows harm",
        wanted,
    )


def apart_while(case: Case, pair: tuple[str, str]) -> str:
    """When the handset kept the two apart, in words."""
    terminals = core_terminals(case)
    for bare in commands(case.before):
        state = command(case, "before", bare)
        net = Net(case.before, settled_at(case, "before", state).closed)
        if net.same(terminals[pair[0]], terminals[pair[1]]):
            return f"{bare} was not pressed"
    return "any button was pressed or none"


def fed_by_joint(case: Case) -> tuple[str, str, float, float] | None:
    """State, load, volts and share of the load that gains most against the pendant; None where none does."""
    worst: tuple[str, str, float, float] | None = None
    rated = rated_volts(case.after)
    # the coil that the joint feeds comes before the load that this coil switches
    coils = {p.name for p in case.after.parts if p.kind == "coil"}
    for bare in commands(case.after):
        if bare not in commands(case.before):
            continue
        was = settled_at(case, "before", command(case, "before", bare))
        now = settled_at(case, "after", command(case, "after", bare))
        for load, volts in rated.items():
            before, after = abs(was.volts.get(load, 0j)), abs(now.volts.get(load, 0j))
            if load not in was.volts or after - before <= _FLOOR * volts:
                continue
            if worst is None or (load in coils, after / volts) > (worst[1] in coils, worst[3]):
                worst = (words(now.state), load, after, after / volts)
    return worst


def rated_volts(circuit: Circuit) -> dict[str, float]:
    """Loads of the hoist that have a rated voltage: coils, brakes, magnets, lamps."""
    return {p.name: p.values["voltage"].si for p in circuit.parts
            if p.kind in ("coil", "brake",
                "load") and "voltage" in p.values and p.values["voltage"].si}  # fmt: skip
