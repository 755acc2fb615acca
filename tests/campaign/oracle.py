"""Long comparison of the engine with the naive solver and with ngspice.

Samples are (circuit, 0 to 3 faults, state, run): half of the circuits are generated,
half are the catalog's hoists and demo conversions; runs are apply (from rest), release,
stop and cold start. Counts of everything compared and left out are in the result.
"""

from __future__ import annotations

import random
from pathlib import Path

from tests.simulate.chance import generated
from tests.simulate.damage import choose, damaged
from tests.simulate.oracle import (
    Tally,
    against_naive,
    against_spice,
    ideal_like_real,
    plain,
    power_patterns,
    settled_states,
    volts_against_naive,
)
from wiring.circuit import build_after, build_before, build_type
from wiring.files import catalog_root, load_catalog, load_job
from wiring.model.behaviour import Settled
from wiring.model.circuit import Circuit
from wiring.simulate import Network, settle
from wiring.simulate.states import LISTED, space_of

RUNS = ("apply", "release", "stop", "cold")
#: One sample in so many also goes through ngspice.
SPICE_EVERY = 4


def catalog_circuits() -> list[Circuit]:
    """Every hoist type, and the demo jobs as found and as converted."""
    catalog = load_catalog()
    found = [build_type(catalog.hoists[name]) for name in sorted(catalog.hoists)]
    for file in sorted((Path(str(catalog_root())) / "demo").glob("*.toml")):
        job = load_job(file)
        found += [build_before(job, catalog), build_after(job, catalog)]
    return [circuit for circuit in found if plain(circuit)]


def run(n: int, seed: int, spice: bool = True, whole_catalog: bool = True) -> dict[str, object]:
    """Compare n samples, and with ngspice the catalog's circuits in their settled states.

    Result: counts, the worst voltage apart, the texts of what disagreed.
    """
    rng = random.Random(seed)
    known = catalog_circuits()
    tally = Tally()
    if spice and whole_catalog:
        for circuit in known:
            whole(circuit, rng, tally)
    for k in range(n):
        circuit = generated(rng) if rng.random() < 0.5 else rng.choice(known)
        try:
            sample(rng, circuit, tally, spice and k % SPICE_EVERY == 0)
        except KeyError as unknown:
            tally.note(False, "fault names", str(unknown))
    return {
        "samples": n,
        "seed": seed,
        "counts": dict(sorted(tally.counts.items())),
        "worst_voltage_apart": tally.worst,
        "disagreements": len(tally.wrong),
        "examples": tally.wrong[:20],
    }


def whole(circuit: Circuit, rng: random.Random, tally: Tally) -> None:
    """A catalog circuit in ngspice: every settled state of a small one; of a large one every
    pattern of the power part and 1,000 seeded states."""
    network = Network(circuit)
    vectors = space_of(network).vectors()
    chosen = vectors if len(vectors) <= LISTED else rng.sample(vectors, min(5000, len(vectors)))
    states = settled_states(network, [network.state_names(v) for v in chosen])
    if len(vectors) > LISTED:
        states = [*power_patterns(network, states), *states[:1000]]
    tally.counts["ngspice: settled states of the catalog"] += len(states)
    against_spice(network, states, tally)


def sample(rng: random.Random, circuit: Circuit, tally: Tally, spice: bool) -> None:
    """One circuit with 0 to 3 faults in one random state, reached by one kind of run."""
    faults = choose(rng, circuit, rng.choice((0, 1, 1, 2, 3)))
    network = Network(circuit, faults)
    faulty = damaged(circuit, faults) if faults else None
    space = space_of(Network(circuit))
    state = space.network.state_names(rng.choice(space.few(3, 2)))
    kind = rng.choice(RUNS)
    tally.counts[f"run: {kind}"] += 1
    tally.counts[f"faults: {len(faults)}"] += 1
    start, target, memory = _start(network, state, kind)
    real = settle(network, target, start, memory, mode="real")
    against_naive(network, real, start, tally, faulty)
    volts_against_naive(network, real, tally, faulty)
    ideal = settle(network, target, start, memory)
    ideal_like_real(network, ideal, real, tally)
    if spice:
        tally.counts["ngspice samples"] += 1
        against_spice(network, [real], tally, faulty)


def _start(
    network: Network, state: frozenset[str], kind: str
) -> tuple[tuple[str, ...], frozenset[str], tuple[str, ...]]:
    """Coils that are in before, the state to settle, the receiver's memory."""
    if kind == "cold":
        return (), state, ()
    now: Settled = settle(network, frozenset(), mode="real")
    for step in (frozenset(network.input_bit) & {"key:start", "button:start"}, frozenset[str]()):
        now = settle(network, step, now.energised, now.memory, mode="real")
    if kind == "apply":
        return now.energised, state, now.memory
    now = settle(network, state, now.energised, now.memory, mode="real")
    if kind == "release":
        return now.energised, frozenset(n for n in state if not n.startswith(("button:", "key:"))), now.memory
    stops = [n for n in network.input_bit if n.startswith("stop:") or n == "key:stop"]
    return now.energised, state | frozenset(stops[:1]), now.memory
