"""The same circuit as an ngspice deck: many contact patterns side by side in one run."""

from __future__ import annotations

import math
import os
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.simulate import naive
from wiring.model.circuit import Circuit

Pattern = tuple[frozenset[str], frozenset[str]]  # contacts closed, coils in
#: Patterns in one ngspice process.
BATCH = 40


def require() -> None:
    """Fail in CI without ngspice, skip with a reason elsewhere."""
    if shutil.which("ngspice") is None:
        if os.environ.get("CI"):
            pytest.fail("ngspice is not installed")
        pytest.skip("ngspice is not installed; the independent circuit solver was not compared")


def deck(
    circuit: Circuit, patterns: Sequence[Pattern], raw: str, f: float
) -> tuple[str, list[dict[str, str]]]:
    """The text of a deck, and for each pattern the node that stands for each point."""
    lines, nodes = ["holdrun oracle"], []
    for k, (closed, energised) in enumerate(patterns):
        number: dict[str, str] = {circuit.earth: "0"}
        for part in circuit.parts:
            for pin in part.pins:
                number.setdefault(pin, f"p{k}_{len(number)}")
        passive = naive.branches(circuit, closed, energised, f)
        for _, a, b, _ in passive:
            for end in (a, b):
                number.setdefault(end, f"p{k}_{len(number)}")
        for i, (_, a, b, z) in enumerate(passive):
            lines += _impedance(f"{k}x{i}", number[a], number[b], z, f)
        for i, part in enumerate(p for p in circuit.parts if p.kind in ("source", "transformer")):
            tag, pins = f"{k}s{i}", [number[pin] for pin in part.pins]
            if part.kind == "source":
                volts, phase = naive.value(part, "voltage"), naive.value(part, "phase")
                volts = volts if naive.value(part, "frequency") == f else 0.0
                lines.append(f"V{tag} m{tag} {pins[1]} DC {volts if not f else 0!r} AC {volts!r} {phase!r}")
                lines.append(f"R{tag} m{tag} {pins[0]} {naive.ohms(circuit, part)!r}")
            else:
                lines += _transformer(tag, pins, *naive.two_port(part), f)
        lines += [
            f"RG{k}_{i} {node} 0 {1 / naive.GMIN!r}" for i, node in enumerate(number.values()) if node != "0"
        ]
        nodes.append(number)
    run = f"ac lin 1 {f!r} {f!r}" if f else "op"
    lines += [".control", "set filetype=ascii", run, f"write {raw}", "quit", ".endc", ".end", ""]
    return "\n".join(lines), nodes


def _impedance(tag: str, a: str, b: str, z: complex, f: float) -> list[str]:
    """R, and L or C where there is a reactance."""
    if not z.imag:
        return [f"R{tag} {a} {b} {z.real!r}"]
    w = 2 * math.pi * f
    middle = a if not z.real else f"i{tag}"
    lines = [f"R{tag} {a} {middle} {z.real!r}"] if z.real else []
    if z.imag > 0:
        return [*lines, f"L{tag} {middle} {b} {z.imag / w!r}"]
    return [*lines, f"C{tag} {middle} {b} {-1 / (w * z.imag)!r}"]


def _transformer(tag: str, pins: list[str], ratio: float, z: complex, idle: complex, f: float) -> list[str]:
    """A voltage source at the secondary, its current mirrored to the primary."""
    p1, p2, s1, s2 = pins
    lines = [
        f"E{tag} e{tag} {s2} {p1} {p2} {ratio!r}",
        f"VM{tag} e{tag} g{tag} DC 0",
        f"F{tag} {p1} {p2} VM{tag} {ratio!r}",
        *_impedance(f"{tag}z", f"g{tag}", s1, z, f),
    ]
    if f:
        lines += _impedance(f"{tag}n", s1, s2, 1 / idle, f)
    return lines


def solve(circuit: Circuit, patterns: Sequence[Pattern]) -> list[dict[str, complex]]:
    """Phasor over every load, for every pattern. Raises RuntimeError where ngspice fails."""
    found = []
    for start in range(0, len(patterns), BATCH):
        found += _run(circuit, patterns[start : start + BATCH])
    return found


def _run(circuit: Circuit, patterns: Sequence[Pattern]) -> list[dict[str, complex]]:
    """One process for each frequency."""
    each = [_one(circuit, patterns, f) for f in naive.frequencies(circuit)]
    return [naive.merge(list(parts)) for parts in zip(*each, strict=True)]


def _one(circuit: Circuit, patterns: Sequence[Pattern], f: float) -> list[dict[str, complex]]:
    with tempfile.TemporaryDirectory() as folder:
        raw = Path(folder) / "out.raw"
        text, nodes = deck(circuit, patterns, str(raw), f)
        source = Path(folder) / "deck.cir"
        source.write_text(text)
        done = subprocess.run(
            ["ngspice", "-b", str(source)], capture_output=True, text=True, timeout=120, check=False
        )
        if not raw.exists():
            raise RuntimeError(f"ngspice wrote nothing: {done.stdout[-400:]} {done.stderr[-400:]}")
        values = read_raw(raw.read_text())
    found = []
    for number in nodes:
        volts = {point: values.get(f"v({node})", 0j) for point, node in number.items()}
        found.append(naive.across(circuit, volts))
    return found


def read_raw(text: str) -> dict[str, complex]:
    """Vector name to value of the first point of an ASCII raw file."""
    head, _, body = text.partition("Values:\n")
    names = [line.split()[1] for line in head.partition("Variables:\n")[2].splitlines() if line.strip()]
    words = body.split()[1:]  # the first word is the number of the point
    found = {}
    for name, word in zip(names, words, strict=False):
        real, _, imaginary = word.partition(",")
        found[name.lower()] = complex(float(real), float(imaginary or 0.0))
    return found
