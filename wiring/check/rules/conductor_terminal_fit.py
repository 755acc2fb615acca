"""conductor.terminal-fit: wires fit their terminals."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.check.runs import runs
from wiring.model.entry import Netlist, Terminal
from wiring.model.value import WireSize


@rule(
    "conductor.terminal-fit",
    "Wires fit their terminals",
    danger=1,
    hazard="A wire that is too thin for its clamp, or the third under one screw, works loose.",
    sources=(
        us("NEC 110.14; device markings"),
        iec("IEC 60204-1 13.1.1"),
    ),
    checks="Size and number of wires on each terminal of receiver and added devices against its range; "
    "torque given.",
    needs="Terminal ranges of the entries; cable sizes.",
    does_not_cover="Workmanship: ferrules, stripped length, the pull.",
    stage="installed",
    wants="behaviour",
)
def check(case: Case) -> Iterable[Draft]:
    sizes = {r.name: r.size for r in runs(case)}
    landed: dict[str, list[str]] = {}
    for part in case.after.parts:
        if part.kind == "wire" and part.role == "" and not part.name.startswith("hoist:"):
            for pin in part.pins:
                landed.setdefault(pin, []).append(part.name)
    found = [(name, (t, landed[name])) for name, t in terminals(case) if name in landed]
    return case.each(found, lambda s, item: judge(s, item[0], item[1], sizes))


def terminals(case: Case) -> Iterator[tuple[str, Terminal]]:
    """Terminals of receiver and devices by full name."""
    if case.receiver_type is not None:
        yield from _of(case.receiver_type.net, "receiver", ())
    for device in case.job.devices:
        entry = case.catalog.devices.get(device.type)
        if entry is not None:
            yield from _of(entry.net, device.id, entry.units)


def _of(net: Netlist, owner: str, units: tuple[str, ...]) -> Iterator[tuple[str, Terminal]]:
    for terminal in net.terminals:
        unit, colon, rest = terminal.id.partition(":")
        name = f"{owner}.{unit}:{rest}" if colon and unit in units else f"{owner}:{terminal.id}"
        yield name, terminal


def judge(subject: str, terminal: Terminal, wires: list[str], sizes: dict[str, WireSize | None]) -> Draft:
    """One terminal."""
    wanted = "size and number of wires within the terminal's range, torque given"
    if terminal.max_wires is not None and len(wires) > terminal.max_wires:
        return failed(subject, f"{len(wires)} wires on a terminal for {terminal.max_wires}", wanted,
                      "use a terminal box", key="connection")  # fmt: skip
    known = [(n, s) for n in wires if (s := sizes.get(n)) is not None]
    for name, size in known:
        if terminal.size_max is not None and size.area_m2 > terminal.size_max.area_m2 * 1.0001:
            return failed(subject, f"{name} {size} on a terminal up to {terminal.size_max}", wanted,
                          "use a terminal box and a thinner wire", key="connection")  # fmt: skip
        if terminal.size_min is not None and size.area_m2 < terminal.size_min.area_m2 * 0.9999:
            return failed(subject, f"{name} {size} on a terminal from {terminal.size_min}", wanted,
                          "use a thicker wire or a ferrule that fits", key="connection")  # fmt: skip
    if terminal.size_max is None or not known:
        return unknown(subject, "its wire range or the wire's size is not known", wanted,
                       "read the range on the data sheet", key="connection")  # fmt: skip
    torque = f", torque {terminal.torque}" if terminal.torque else ", torque not stated"
    count = "1 wire" if len(wires) == 1 else f"{len(wires)} wires"
    return passed(subject, f"{count}, up to {terminal.size_max}{torque}", wanted)
