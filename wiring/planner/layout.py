"""One choice laid out as a sheet: stop path, supply, drive, earth."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice

from wiring.circuit import hoist_name
from wiring.model.entry import ReceiverType
from wiring.model.job import JumperSetting, ReceiverFacts, ReceiverOutput, Transmitter
from wiring.planner.channels import Pole, bars, poles
from wiring.planner.demand import Contact, Demand, Gap
from wiring.planner.drives import (
    Domain,
    contactor_pair,
    keep_suppressors,
    relays,
    replacement_capacitor,
)
from wiring.planner.mapping import Assignment, Search
from wiring.planner.sheet import Sheet
from wiring.planner.site import CONTROL_CEILING, Choice, NoWay, Site
from wiring.planner.stops import (
    CONTROL,
    both_lines,
    line_isolator,
    main_contactor,
    split_feed,
    stop_wants,
    wired_stop,
)
from wiring.planner.supply import Converter, Tap, alike, converters, feeds, volts_between, way_to


@dataclass(frozen=True, slots=True)
class Laid:
    """A finished layout with the receiver set for it."""

    sheet: Sheet
    receiver: ReceiverFacts
    transmitters: tuple[Transmitter, ...]
    assignment: Assignment
    converters: int


def lay(site: Site, choice: Choice) -> Laid:
    """Lay one choice out. Raises NoWay with the reason where it cannot be done."""
    if site.tap is None:
        raise NoWay("the type has no place where a receiver could be supplied")
    sheet = Sheet(site.job)
    for role, point in site.demand.points.items():
        sheet.put(role, point)
    for part in site.hoist.handset_parts:
        if part.kind == "wire":  # a bridge inside the handset: the cores it joined stay joined
            sheet.tie(*part.at)
    control, demand = control_domain(sheet, site)
    sheet.hot += [site.tap.hot, *(gap.a for gap in demand.gaps)]
    has_stop = bool(site.receiver.stop_outputs)
    if not demand.gaps and (has_stop or (site.demand.motor and not site.three_phase)):
        demand = split_feed(demand)
    stopped, control, common = stop_path(sheet, site, demand, control)
    in_coils = choice.drive.startswith("pair") and site.demand.motor and not site.three_phase
    stops = [] if in_coils else stop_wants(demand, stopped, has_stop)
    wired_only = demand.gaps[1 if stops else 0 :]
    for gap in wired_only:
        sheet.tie(stopped.get(gap.a, gap.a), gap.b)
    if stops and wired_only:
        sheet.open.append(one_channel(demand))
    wants = list(demand.wants)
    if common and choice.drive.startswith("pair"):  # one pole alone leaves the windings on the other line
        wants += [Contact(button, "NO", control.ret, common) for button in demand.buttons()]
    elif common:
        sheet.tie(control.ret, common)
    if choice.drive.startswith("pair"):
        wants = contactor_pair(sheet, site, wants, control)
        if in_coils and has_stop:  # stop relays carry coil current, never the motor's
            stops = [Contact("stop", "NO", wants[0].a, f"{wants[0].a}.stopped")]
            wants = [replace(w, a=stops[0].b) for w in wants]
    elif any(w.form == "NC" for w in wants) and site.demand.motor and choice.drive == "relays":
        raise NoWay("motor current does not go through relays")
    domain, count = receiver_supply(sheet, site, control, stopped, demand)
    if choice.drive.endswith("relays"):
        wants = relays(sheet, site, wants, domain, low_side(site), choice.bleed)
    assignment, off = assign(site, [*stops, *wants], domain, choice, control.kind)
    supply_ends(sheet, site, assignment, domain)
    land(sheet, site, assignment)
    if choice.main:
        main_contactor(sheet, site, control.hot, control.ret, control.volts, control.kind)
    replacement_capacitor(sheet, site)
    keep_suppressors(sheet, site)
    earth(sheet, site)
    facts = receiver_facts(site, assignment, off)
    return Laid(sheet, facts, transmitters(site, assignment), assignment, count)


# -- stop path and control voltage --------------------------------------------------------------


def one_channel(demand: Demand) -> str:
    """What to decide where the stop outputs, which share a screw, open the first of several lines only."""
    first, *others = (demand.points.get(gap.b, gap.b) for gap in demand.gaps)
    return (
        f"the radio stop opens the line to {first} alone, the wired stop also {', '.join(others)}: a stop of "
        "two channels wants an output of its own in each, from a receiver whose stop outputs share no screw"
    )


def control_domain(sheet: Sheet, site: Site) -> tuple[Domain, Demand]:
    """Where coils get their voltage, before any stop is put in."""
    tap, demand = site.tap, site.demand
    assert tap is not None
    if not site.needs_transformer:
        ret = ret_net(sheet, tap)
        hot = demand.gaps[0].a if demand.gaps else "feed"
        return Domain(hot, ret, tap.volts, tap.kind), demand
    step = best_transformer(site, tap)
    id = sheet.device(step.wished, step.type)
    sheet.inside.add(id)
    for net, pin in zip((tap.hot, tap.ret), step.inputs, strict=True):
        sheet.put(net, net)
        sheet.put(net, f"{id}:{pin}", "primary of the control transformer: its own fuses are inside")
    sheet.put("control.live", f"{id}:{step.outputs[0]}", "low-voltage control, fused in the transformer")
    sheet.put("control.ret", f"{id}:{step.outputs[1]}", "return of the control circuit")
    sheet.put("earth", f"{id}:PE", "the transformer's frame is joined to the protective conductor")
    sheet.tie("control.ret", "earth")
    gap = Gap("", "control.live", "control.hot")
    return Domain("control.live", "control.ret", step.volts, step.kind), replace(demand, gaps=(gap,))


def ret_net(sheet: Sheet, tap: Tap) -> str:
    """The net of the supply place's return."""
    sheet.put(tap.ret, tap.ret)
    return tap.ret


def best_transformer(site: Site, tap: Tap) -> Converter:
    """The control transformer whose voltage the receiver takes with the fewest further devices."""
    found: list[tuple[int, int, Converter]] = []
    for n, step in enumerate(converters(site.catalog, tap.volts, tap.kind)):
        further = way_to(site.catalog, step.volts, step.kind, site.receiver)
        if further is not None:
            found.append((len(further), n, step))
    if not found:
        raise NoWay(f"no control transformer for {tap.volts:.0f} V gives a voltage the receiver can use")
    return min(found, key=lambda f: f[:2])[2]


def stop_path(
    sheet: Sheet, site: Site, demand: Demand, control: Domain
) -> tuple[dict[str, str], Domain, str]:
    """Put the wired stop in. Gives the net behind it for each gap, the control domain behind all, and
    between two lines the point of the hoist that the second one went on to."""
    common = ""
    if site.hoist.supply_system == "1ph L-L" and site.demand.motor:
        ret, common = both_lines(sheet, site)
        control = replace(control, ret=ret)
        stopped: dict[str, str] = {}
    elif site.hoist.supply_system == "dc":
        line_isolator(sheet, site)
        stopped = {}
    elif demand.gaps:
        motor = site.demand.motor and not site.three_phase
        stopped = wired_stop(sheet, demand.gaps, motor, not site.same_pole and bool(site.demand.gaps))
    else:
        stopped = {}
    if CONTROL in stopped:
        assert site.tap is not None
        sheet.put(CONTROL, site.tap.hot)
        control = replace(control, hot=stopped[CONTROL])
    elif demand.gaps:
        control = replace(control, hot=demand.gaps[0].b)
    return stopped, control, common


# -- the receiver's own supply --------------------------------------------------------------------


def receiver_supply(
    sheet: Sheet, site: Site, control: Domain, stopped: dict[str, str], demand: Demand
) -> tuple[Domain, int]:
    """Nets of the receiver's supply, behind the wired stop where that is the same pole, fused."""
    tap = site.tap
    assert tap is not None
    if site.needs_transformer:
        source = Domain(
            stopped.get("control.live", "control.live"), "control.ret", control.volts, control.kind
        )
    elif CONTROL in stopped:
        source = Domain(stopped[CONTROL], control.ret, tap.volts, tap.kind)
    elif site.same_pole or not demand.gaps or stopped_line(site):
        hot = stopped.get(demand.gaps[0].a, demand.gaps[0].a) if demand.gaps and site_pole(site) else tap.hot
        source = Domain(hot, control.ret, tap.volts, tap.kind)
    else:
        source = Domain(tap.hot, tap.ret, tap.volts, tap.kind)
    if ":" in source.hot:
        sheet.put(source.hot, source.hot)
    path = way_to(site.catalog, source.volts, source.kind, site.receiver)
    if path is None and not site.needs_transformer:
        source, path = other_tap(sheet, site)
    if path is None:
        raise NoWay(
            f"nothing in the catalog makes what the receiver takes from the {tap.volts:.0f} V {tap.kind} here"
        )
    fuse = sheet.device("F11", "fuse")
    sheet.put(source.hot, f"{fuse}:1", "a fuse of its own for the receiver's supply")
    sheet.put("rx.fused", f"{fuse}:2", "a fuse of its own for the receiver's supply")
    hot, ret, volts, kind = "rx.fused", source.ret, source.volts, source.kind
    for n, step in enumerate(path):
        id = sheet.device(step.wished, step.type)
        if n == 0 and volts > CONTROL_CEILING:  # motor voltage stays in the hoist's box
            sheet.inside |= {id, fuse}
        why = f"the receiver takes {step.volts:.0f} V {step.kind}, the hoist has {volts:.0f} V {kind}"
        for net, pin in zip((hot, ret), step.inputs, strict=True):
            sheet.put(net, f"{id}:{pin}", why)
        hot, ret, volts, kind = f"rx.{n}+", f"rx.{n}-", step.volts, step.kind
        for net, pin in zip((hot, ret), step.outputs, strict=True):
            sheet.put(net, f"{id}:{pin}", why)
        if any(t.id == "PE" for t in site.catalog.devices[step.type].net.terminals):
            sheet.put("earth", f"{id}:PE", "its metal is joined to the protective conductor")
    return Domain(hot, ret, volts, kind), len(path)


def site_pole(site: Site) -> bool:
    """True where the receiver can sit behind the wired stop."""
    return site.same_pole or site.demand.motor


def stopped_line(site: Site) -> bool:
    """True where the stop opens whole lines and the supply place lies before it."""
    return site.hoist.supply_system == "1ph L-L"


def other_tap(sheet: Sheet, site: Site) -> tuple[Domain, tuple[Converter, ...] | None]:
    """The second place where voltage is to be had, for receivers that the first one cannot feed."""
    for tap in site.taps[1:]:
        path = way_to(site.catalog, tap.volts, tap.kind, site.receiver)
        if path is not None:
            for point in (tap.hot, tap.ret):
                sheet.put(point, point)
            return Domain(tap.hot, tap.ret, tap.volts, tap.kind), path
    return Domain("", "", 0.0, ""), None


def low_side(site: Site) -> bool:
    """True where the outputs pull to the return of the receiver's supply."""
    ret = bars(site.receiver)[site.receiver.supply_terminals[1]]
    return any(ret in (p.a, p.b) for p in poles(site.receiver) if p.form == "NO")


# -- outputs --------------------------------------------------------------------------------------


def assign(
    site: Site, wants: list[Contact], domain: Domain, choice: Choice, switched: str
) -> tuple[Assignment, tuple[str, ...]]:
    """The chosen assignment and the jumpers that are taken out for it. switched: "AC" | "DC"."""
    receiver = site.receiver
    if any(w.button.endswith(".2") for w in wants) and receiver.step_two == "none":
        raise NoWay("the transmitter has no second step, and a speed is never given up")
    jumpers = [p.id for p in receiver.net.parts if p.kind == "wire" and p.role == "jumper" and p.fitted]
    joining = [j for j in jumpers if _joins_terminals(site, j)]
    facts = {o.id: o.key for o in site.job.receiver.outputs if o.key}
    presets = {o.id: o.key for o in receiver.outputs if o.key}
    out_on_this = tuple(j.id for j in site.job.receiver.jumpers if j.fitted is False and j.id in joining)
    for off in dict.fromkeys((out_on_this, (), tuple(joining))):
        bar, offered = bars(receiver, off), poles(receiver, off)
        plus, minus = (bar[t] for t in receiver.supply_terminals[:2])
        fed = {b for b in (plus, minus) if any(b in (p.a, p.b) for p in offered)}
        nets = {b: n for b, n in ((plus, domain.hot), (minus, domain.ret)) if b not in fed}
        if choice.drive.endswith("relays"):
            nets = {plus: domain.hot, minus: domain.ret}
        kind = domain.kind if choice.drive.endswith("relays") else switched
        offered = tuple(p for p in offered if suits(p, receiver, kind))
        search = Search(wants, offered, presets, facts)
        found = next(islice(search.run(nets), choice.nth, None), None)
        if found is not None:
            return found, off
    what = f"an assignment of its outputs for {len(wants)} contacts"
    raise NoWay(f"the receiver has not the contacts: {what} was not found")


def suits(pole: Pole, receiver: ReceiverType, kind: str) -> bool:
    """False for an electronic output on the other kind of voltage: a transistor is for direct voltage,
    and a triac never turns off on it."""
    return not pole.solid or receiver.supply_kind == kind


def _joins_terminals(site: Site, jumper: str) -> bool:
    part = next(p for p in site.receiver.net.parts if p.id == jumper)
    inside = set(site.receiver.net.junctions)
    return not inside.issuperset(part.at)


def supply_ends(sheet: Sheet, site: Site, assignment: Assignment, domain: Domain) -> None:
    """Land the receiver's supply screws, unless an output shares the screw and has given it a net."""
    bar = bars(site.receiver)
    ends = zip(site.receiver.supply_terminals[:2], (domain.hot, domain.ret), ("live", "return"), strict=True)
    for terminal, net, word in ends:
        given = assignment.nets.get(bar[terminal], net)
        if given != net and word == "live":
            sheet.tie("rx.fused" if domain.hot == "rx.fused" else domain.hot, given)
            drop_fuse(sheet)
        elif given != net:
            sheet.tie(given, net)
        sheet.put(given, f"receiver:{terminal}", f"{word} of the receiver's supply, the same in every state")


def drop_fuse(sheet: Sheet) -> None:
    """An output that is fed from the supply screw carries the load: the small fuse is not for that."""
    fuse = next(d.id for d in sheet.devices if d.type == "fuse" and f"{d.id}:2" in sheet.nets["rx.fused"])
    sheet.devices[:] = [d for d in sheet.devices if d.id != fuse]
    for points in sheet.nets.values():
        for pin in (f"{fuse}:1", f"{fuse}:2"):
            points.pop(pin, None)


def land(sheet: Sheet, site: Site, assignment: Assignment) -> None:
    """Land every pole of the assignment on its nets."""
    for want, pole in assignment.chosen:
        output = " and ".join(pole.outputs)
        if want.button == "stop":
            why = f"the radio stop opens {output}, in series, in place of the pendant's stop"
        else:
            held = "closes" if pole.form == "NO" else "opens"
            why = f"{output} {held} while key {want.button} is held: in place of the handset's contact"
        for terminal in (pole.a, pole.b):
            net = assignment.nets[terminal]
            common = sum(1 for _, p in assignment.chosen if terminal in (p.a, p.b)) > 1
            reason = f"common of the outputs that hang on {net.partition('.')[0]}" if common else why
            sheet.put(net, f"receiver:{terminal}", why if want.button == "stop" else reason)


def receiver_facts(site: Site, assignment: Assignment, off: tuple[str, ...]) -> ReceiverFacts:
    """The receiver with keys, modes and jumpers as this wiring needs them."""
    facts = site.job.receiver
    buttons = {b.id for b in site.hoist.buttons}
    rows: list[ReceiverOutput] = []
    listed = {o.id for o in facts.outputs}
    for row in facts.outputs:
        key = assignment.keys.get(row.id)
        if key is not None:
            rows.append(replace(row, key=key, mode=row.mode or default_mode(site)))
        elif row.key in buttons:
            rows.append(replace(row, key=None))
        else:
            rows.append(row)
    for output, key in assignment.keys.items():
        if output not in listed:
            rows.append(ReceiverOutput(output, key, mode=default_mode(site)))
    jumpers = [replace(j, fitted=False) if j.id in off else j for j in facts.jumpers]
    jumpers += [JumperSetting(j, False) for j in off if all(j != x.id for x in facts.jumpers)]
    return replace(facts, outputs=tuple(rows), jumpers=tuple(jumpers))


def default_mode(site: Site) -> str | None:
    """Momentary, where the type can do it: the only mode a hoist may run in."""
    return "momentary" if "momentary" in site.receiver.modes else None


def transmitters(site: Site, assignment: Assignment) -> tuple[Transmitter, ...]:
    """The job's transmitters, the first with every key that the wiring needs; one where there is none."""
    used = set(assignment.keys.values())
    keys = [b.id for b in site.hoist.buttons if b.id in used]
    if site.receiver.stop_outputs:
        keys.append("stop")
    if any(o.needs_start for o in site.receiver.outputs):
        keys.append("start")
    mine = list(site.job.transmitters)
    if not mine:
        return (Transmitter("T1", tuple(dict.fromkeys(keys))),)
    has = {key for transmitter in mine for key in transmitter.keys}
    more = [key for key in dict.fromkeys(keys) if key not in has]
    if more:
        mine[0] = replace(mine[0], keys=(*mine[0].keys, *more))
    return tuple(mine)


def earth(sheet: Sheet, site: Site) -> None:
    """Every box and every device with an earth terminal on the protective conductor."""
    if "PE" in {t.id for t in site.receiver.net.terminals}:
        sheet.put("earth", "receiver:PE", "the receiver's metal is joined to the protective conductor")
    if "earth" not in site.demand.points and site.hoist.earth:
        point = hoist_name(site.hoist.earth)
        sheet.nets["earth"] = {point: None, **sheet.nets.get("earth", {})}
    elif "earth" in sheet.nets:
        core = site.demand.points["earth"]
        sheet.nets["earth"] = {core: None, **sheet.nets["earth"]}


__all__ = ["Laid", "alike", "feeds", "lay", "volts_between"]
