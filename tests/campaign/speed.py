"""How fast the proof is, side by side with the naive solver and ngspice, on the largest crane.

All rates come from one run on one machine and are processor time, so that other work on it
does not count; the doubles, on two processes, have wall time beside it. The engine does the
whole task; the other two do a sample of the same settlings, and the rest is counted at their
rate, which the result says. n: settlings that each of the slow ones does. Beside the numbers
it writes `speed.svg`: cost over the catalog's hoists. The naive solver eliminates
joints without contact once, beforehand.
"""

from __future__ import annotations

import gc
import random
import resource
import shutil
import statistics
import subprocess
import tempfile
import time
from pathlib import Path

from tests.campaign._plot import Panel, scatter
from tests.simulate import naive, spice
from tests.simulate.dense import Dense
from tests.simulate.truthjobs import CATALOG, circuits, crane_conversion
from wiring.circuit import build_type
from wiring.model.behaviour import Settled, State
from wiring.model.circuit import Circuit
from wiring.simulate.bench import Bench
from wiring.simulate.fault_run import Inspector
from wiring.simulate.faults import plain_faults
from wiring.simulate.faults_double import Pairs, run_pairs
from wiring.simulate.faults_runs import Plane, Runner, base_states
from wiring.simulate.lanes import Vectors, large_differences, whole
from wiring.simulate.network import Network
from wiring.simulate.settle import settle

HERE = Path(__file__).parent
#: Doubles are stopped after so many seconds; the result then says how many were run.
MOST = 400.0
#: The five settlings of a fault: armed and held, applied, let go, stopped, supply back.
RUNS = 5
#: States the goal is stated for.
LANES = 2000


def run(n: int, seed: int) -> dict[str, object]:
    """Everything; see the module."""
    rng = random.Random(seed)
    gc.set_threshold(200_000, 50, 50)  # as the program itself does (wiring/cli/entry.py)
    before, after = circuits(crane_conversion())
    result: dict[str, object] = {
        "note": "processor seconds of one side-by-side run; wall seconds where it says so",
        "vectors": vectors(before, after),
    }
    for name, circuit in (("as found", before), ("as converted", after)):
        sweep = singles(circuit)
        slow = yardsticks(circuit, n, rng)
        result[name] = {
            "single faults": sweep,
            "yardsticks": {who: beside(sweep, rate) for who, rate in slow.items()},
            "double faults": doubles(circuit),
        }
    points = [cost(name) for name in sorted(CATALOG.hoists)]
    (HERE / "speed.svg").write_text(plot(points), "utf-8")
    result["catalog"] = [
        {"hoist": p[0], "inputs": p[1], "vectors": p[2], "fault sets": p[3], "states": p[4],
         "single faults s": round(p[5], 4), "all vectors s": round(p[6], 4)}
        for p in points
    ]  # fmt: skip
    return result


def beside(sweep: dict[str, float], rate: float) -> dict[str, float]:
    """One slow solver beside the engine: its rate as measured, the whole task at that rate, the ratio."""
    task = sweep["settlings"] / rate
    return {
        "settlings/s": round(rate, 1),
        "seconds for the same settlings, counted at this rate": round(task, 1),
        "times slower than the engine": round(task / sweep["seconds"]),
    }


def lanes_of(network: Network) -> tuple[State, ...]:
    """About as many states as the goal asks for: at most two keys held at any step (three or more
    where that gives fewer), one limit, with stop, START and link besides."""
    kinds = {item.name: item.kind for item in network.inputs}
    found: list[State] = []
    for keys in range(2, 8):
        found = [s for s in base_states(network, keys) if not any(name.endswith(":start") for name in s)]
        for extra in ("stop:ES", "stop:S1", "button:start", "key:start", "link"):
            if extra in kinds:
                found += [state | {extra} for state in found]
        if len(found) >= LANES:
            break
    return tuple(found)


def singles(circuit: Circuit) -> dict[str, float]:
    """All single faults in all those lanes, five settlings each, with what moves in each."""
    network = Network(circuit)
    states = lanes_of(network)
    stop = "stop:ES" if "stop:ES" in network.input_bit else "stop:S1"
    times, counted, solves, alike = [], 0, 0, 0
    for _ in range(3):
        began = time.process_time()
        inspector = Inspector(network, plain_faults(circuit), batch=1 << 15)
        plane = Plane(network, states)
        sound = Runner(inspector.board, [inspector.board.setting(())], plane, None)
        keys = [inspector.likeness.of(s) for s in inspector.board.settings]
        todo = list(dict(zip(reversed(keys), reversed(inspector.board.settings), strict=True)).values())
        inspector.size = max(1, (1 << 15) // plane.width)
        counted = solves = 0
        for part in inspector.batches(todo, lambda setting: setting):
            runner = Runner(inspector.board, part, plane, sound)
            for moment in ("held", "released", f"held+{stop}", "cold"):
                runner.shot(moment)
            counted += runner.settlings
            solves += runner.settler.solves
        times.append(time.process_time() - began)
        alike = len(todo)
    sets = len(inspector.sets)
    seconds = statistics.median(times)
    total = sets * len(states) * RUNS
    return {
        "fault sets": sets,
        "fault sets that differ": alike,
        "lanes": len(states),
        "settlings": total,
        "settlings really run": counted,
        "coil patterns solved": solves,
        "seconds": round(seconds, 3),
        "million settlings/s": round(total / seconds / 1e6, 2),
        "seconds scaled to 235 faults x 2044 lanes x 5": round(seconds * 235 * 2044 * 5 / total, 3),
    }


def vectors(before: Circuit, after: Circuit) -> dict[str, float]:
    """Every input vector of both circuits, compared, and four events on all of them."""
    old, new = Network(before), Network(after)
    same = {name: name.replace("key:", "button:") for name in new.input_bit if name.startswith("key:")}
    same |= {name: name for name in new.input_bit if name in old.input_bit} | {"key:stop": "stop:ES"}
    same = {name: other for name, other in same.items() if other in old.input_bit}
    began = time.process_time()
    found = large_differences(old, new, same)
    done = whole(new, Vectors(after))
    for event in ("link", "supply"):
        full = done.settler.full
        lost = done.settler.run({**done.vectors.operated, event: full}, done.lanes)
        done.settler.run(done.vectors.operated, lost)
    seconds = time.process_time() - began
    return {
        "vectors as found": Vectors(before).count,
        "vectors as converted": done.vectors.count,
        "differences": len(found),
        "events on every vector": 4,
        "seconds": round(seconds, 3),
    }


def doubles(circuit: Circuit) -> dict[str, object]:
    """Every two faults on two processes."""
    total = len(Pairs(Network(circuit)).pairs())
    began, busy = time.perf_counter(), time.process_time() + children()
    count = sum(1 for _ in run_pairs(circuit, 2, cancel=lambda: time.perf_counter() - began > MOST))
    seconds, busy = time.perf_counter() - began, time.process_time() + children() - busy
    return {
        "pairs": total,
        "pairs run": count,
        "sampled": count < total,
        "wall seconds on two processes": round(seconds, 1),
        "processor seconds of both": round(busy, 1),
        "processor seconds of both scaled to 27500 pairs": round(busy / max(count, 1) * 27500, 1),
    }


def children() -> float:
    """Processor seconds of all processes that were started and have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


# -- the slow ones ----------------------------------------------------------------------------


def yardsticks(circuit: Circuit, n: int, rng: random.Random) -> dict[str, float]:
    """Settlings per second of the scalar engine, the naive solver and ngspice."""
    states = lanes_of(Network(circuit))
    chosen = [rng.choice(states) for _ in range(n)]
    rates = {"scalar engine": scalar_rate(circuit, chosen)}
    rates["naive, every wire a resistor"], solves = naive_rate(circuit, chosen, merged=False)
    rates["naive, wires merged beforehand"], _ = naive_rate(circuit, chosen, merged=True)
    if shutil.which("ngspice"):
        rates["ngspice, one process, alter loop"] = spice_rate(circuit, max(20, n), rng) / solves
    return rates


def scalar_rate(circuit: Circuit, chosen: list[State]) -> float:
    """Settlings per second of the scalar engine, from rest, nothing else remembered at the start."""
    rest = armed(circuit)
    network = Network(circuit)
    began = time.process_time()
    for state in chosen:
        settle(network, state, rest.energised, rest.memory)
    return len(chosen) / (time.process_time() - began)


def told(circuit: Circuit, state: State) -> set[str]:
    """A state with the outputs that are closed in it: momentary, armed, link there."""
    closed = set()
    for out in circuit.outputs:
        if "link" not in state and (out.key in state) != out.invert:
            closed.add(f"output:{out.name}")
    return {*state, *closed}


def armed(circuit: Circuit) -> Settled:
    """The circuit at rest with START given."""
    play = Bench(circuit)
    play.arm()
    return play.now


def naive_rate(circuit: Circuit, chosen: list[State], merged: bool) -> tuple[float, float]:
    """Settlings per second of the naive solver from rest, and matrices it solves for each."""
    dense = Dense(circuit, merged=merged)
    rest = [name for name in armed(circuit).energised if name in dense.coils]
    solved = done = 0
    began = time.process_time()
    for state in chosen:
        try:
            solved += dense.settle(told(circuit, state), rest)[1]
            done += 1
        except RuntimeError:  # it buzzes: not a settling
            continue
    seconds = time.process_time() - began
    return done / seconds, solved / done


def spice_rate(circuit: Circuit, n: int, rng: random.Random) -> float:
    """Solutions per second of ngspice in one process that only alters contacts between them."""
    contacts = frozenset(p.name for p in circuit.parts if p.kind in ("contact", "semiconductor"))
    f = naive.hertz(circuit)
    names = [name for name, *_ in naive.branches(circuit, contacts, frozenset(), f)]
    switches = [f"r0x{i}" for i, name in enumerate(names) if name in contacts]

    def seconds(solutions: int) -> float:
        text, _ = spice.deck(circuit, [(contacts, frozenset())], "none.raw", f)
        loop = []
        for _ in range(solutions):
            loop += [f"alter {switch} = {rng.choice(('0.01', '1e9'))}" for switch in rng.sample(switches, 4)]
            loop += [f"ac lin 1 {f!r} {f!r}" if f else "op", "destroy all"]
        body = text.partition(".control")[0] + "\n".join([".control", *loop, "quit", ".endc", ".end", ""])
        with tempfile.TemporaryDirectory() as folder:
            deck = Path(folder) / "loop.cir"
            deck.write_text(body)
            began = children()
            subprocess.run(["ngspice", "-b", str(deck)], capture_output=True, timeout=300, check=False)
            return children() - began

    return n / max(seconds(n + 5) - seconds(5), 1e-6)  # starting the process is not counted


# -- cost over the catalog --------------------------------------------------------------------


def cost(name: str) -> tuple[str, int, int, int, int, float, float]:
    """Hoist, inputs, vectors, fault sets, states, seconds for the single faults, for all vectors."""
    circuit = build_type(CATALOG.hoists[name])
    network = Network(circuit)
    began = time.process_time()
    inspector = Inspector(network, plain_faults(circuit))
    list(inspector.run())
    middle = time.process_time()
    every = Vectors(circuit)
    whole(network, every)
    end = time.process_time()
    states = len(inspector.plane.states)
    return (
        name, len(circuit.inputs), every.count, len(inspector.sets), states, middle - began, end - middle,
    )  # fmt: skip


def plot(points: list[tuple[str, int, int, int, int, float, float]]) -> str:
    """Cost of the single faults over faults times states, and of all vectors over their number."""
    return scatter(
        (
            Panel("Single faults", "faults x states", "seconds", [(p[3] * p[4], p[5], p[0]) for p in points]),
            Panel("All input vectors", "vectors", "seconds", [(p[2], p[6], p[0]) for p in points]),
            Panel("Single faults", "inputs", "seconds", [(p[1], p[5], p[0]) for p in points]),
        )
    )
