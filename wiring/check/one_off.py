"""One contact and one load without a job: the contact rules asked about a circuit of three parts.

The rules are the ones that judge a job, and so are their numbers and what they
rest on: a contact that passes here passes there with the same figures.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from wiring.calc.lookup import cell, same_row
from wiring.check.case import Case
from wiring.check.draft import Comparison, Draft, Missing, compared
from wiring.check.duty import Duty, duties, steady
from wiring.check.loads import describe, nearest_volts
from wiring.check.rating_words import Spoken, contact_of, load_of
from wiring.check.registry import RULES
from wiring.check.rule import Rule, both, rule
from wiring.check.rules.contact_steady import carrying
from wiring.check.runner import judge
from wiring.check.verdict import job_verdict, sort_key
from wiring.files.quantity import show
from wiring.model.behaviour import Behaviour, Settled, Truth
from wiring.model.circuit import Circuit, Motor, Output, Part
from wiring.model.entry import Catalog
from wiring.model.finding import Finding, Verdict
from wiring.model.job import HoistFacts, Job, Rating, ReceiverFacts, ReceiverOutput
from wiring.model.rating import OneOff, RatingAnswer
from wiring.model.value import Value, certain

_HZ = {"us": 60.0, "iec": 50.0}
#: Ratings printed for a voltage this near count as for the same supply.
_NEAR_V = 0.1

#: Category, the rules that answer it, and why there may be nothing to answer.
_CATEGORIES = (
    ("kind of load", ("contact.motor-load", "contact.coil-load", "contact.dc"), "neither a motor nor a coil, "
     "on alternating current"),
    ("voltage", ("contact.voltage",), "no voltage"),
    ("make", ("contact.make", "rating.make"), "nothing to close onto"),
    ("steady", ("contact.steady",), "no current"),
    ("break", ("contact.break", "rating.break"), "nothing to open"),
    ("inching", ("contact.jogging",), "no motor"),
    ("endurance", ("contact.endurance",), "nothing switched"),
    ("minimum load", ("contact.minimum-load",), "a load of this size wets any contact"),
)  # fmt: skip

_NOT_CHECKED = (
    "what happens on a short circuit and the fuse before the contact", "suppression and leakage",
    "heat in the box", "whether the rating holds for one contact alone or for all together",
    "how the rest of the circuit behaves: make a job for that",
)  # fmt: skip

#: Last word of a missing key, and the figure a person can give, with the way to write it.
_FIGURES = {
    "ac3": 'a motor rating: "1/3 hp 120 V" or "9 A AC-3"',
    "ac4": 'the figure for inching: "4 A AC-4"',
    "pilot": 'a coil rating: "B300", "3 A AC-15 240 V" or "2 A DC-13 24 V"',
    "make": 'what it may close onto: "make 30 A", or a rating for this kind of load',
    "resistive": 'what it carries: "10 A resistive"',
    "voltage_ac": 'the rated voltage: "250 V AC"',
    "voltage_dc": 'the rated voltage: "30 V DC"',
    "electrical_life": 'the electrical life at this load: "life 100000"',
    "min_load": 'the least load: "min 10 mA 5 V"',
    "starts_per_hour": "starts in a busy hour: --starts-per-hour 60",
    "full_load_current": 'the motor\'s current from its plate: "motor 6.3 A 230 V"',
    "resistance": 'the inrush of the coil: "coil 70/8 VA 24 V AC"',
}


def one_off(
    contact: str, load: str, catalog: Catalog, region: str = "us", starts_per_hour: int | None = None
) -> OneOff:
    """Judge one contact with one load. Raises RatingError where a text cannot be read."""
    codes = {*catalog.tables["pilot-duty-ac"].rows, *catalog.tables["pilot-duty-dc"].rows}
    rating, spoken = contact_of(contact, codes), load_of(load)
    job, circuit = _job(rating, region, starts_per_hour), _circuit(spoken, catalog, region)
    rules = {
        name: _OWN[name] if name in _OWN else RULES[name] for _, names, _ in _CATEGORIES for name in names
    }
    report = judge(job, catalog, circuit, circuit, _behaviour(), rules=rules)
    answers = tuple(_answer(name, rules, none, report.findings) for name, rules, none in _CATEGORIES)
    if spoken.kind == "motor":
        answers = tuple(_with_printed(a, rating, spoken, catalog) for a in answers)
    verdict = job_verdict(a.finding for a in answers)
    return OneOff(contact, load, region, spoken.taken_as, verdict, answers, _NOT_CHECKED)


def _answer(category: str, names: tuple[str, ...], none: str, findings: Iterable[Finding]) -> RatingAnswer:
    """The finding that decides a category: the worst of its rules that have something to say."""
    own = sorted((f for f in findings if f.rule in names), key=sort_key)
    worst = own[0]
    if worst.verdict is Verdict.NOT_APPLICABLE:
        return RatingAnswer(category, replace(worst, found=none))
    missing = re.fullmatch(r"(.+) is not stated", worst.found)
    if missing is None:
        return RatingAnswer(category, worst)
    figure = _FIGURES.get(missing[1].rpartition(".")[2], missing[1])
    found = f"not given: {figure}"
    return RatingAnswer(category, replace(worst, found=found, where=""), (figure,))


def _with_printed(answer: RatingAnswer, rating: Rating, spoken: Spoken, catalog: Catalog) -> RatingAnswer:
    """Where amperes stand in for a motor rating: what is printed on relays of those amperes."""
    amps, finding = rating.resistive or rating.general, answer.finding
    if amps is None or answer.category != "kind of load" or "rated resistive only" not in finding.found:
        return answer
    table = catalog.tables["relay-motor-ratings"]
    alike = [
        row for row in table.rows
        if (a := table.cell(row, "resistive")) and (v := table.cell(row, "voltage"))
        and abs(a.si - amps.si) < 0.05 and abs(v.si - spoken.volts) <= _NEAR_V * spoken.volts
    ]  # fmt: skip
    if not alike:
        return answer
    printed = sorted({str(table.rows[r].get("hp") or "no") for r in alike}, key=lambda hp: (len(hp), hp))
    path = (f"other relays of {amps} are printed with {' or '.join(printed)} hp at this voltage, some with "
            "none: nothing about a motor follows from amperes")  # fmt: skip
    return replace(answer, finding=replace(finding, path=path))


# ---- the circuit of three parts --------------------------------------------------------------------


def _job(rating: Rating, region: str, starts_per_hour: int | None) -> Job:
    receiver = ReceiverFacts(outputs=(ReceiverOutput("contact", key="key:on", rating=rating),))
    hoist = HoistFacts(starts_per_hour=starts_per_hour)
    return Job("one-off", "one contact, one load", region, "design", hoist=hoist, receiver=receiver)


def _circuit(spoken: Spoken, catalog: Catalog, region: str) -> Circuit:
    """Supply, contact, load."""
    hertz = _HZ[region] if spoken.ac else 0.0
    feed = {
        "voltage": _said("supply.voltage", spoken.volts, "V"),
        "frequency": _said("supply.hz", hertz, "Hz"),
    }
    load, motors = _load(spoken, catalog, region)
    parts = (
        Part("supply", "source", ("supply:L", "supply:N"), "hoist", values=feed),
        Part("wire 1", "wire", ("supply:L", "receiver:COM"), "hoist"),
        Part("contact", "contact", ("receiver:COM", "receiver:NO"), "receiver", form="NO",
             by="output:receiver:contact"),
        Part("wire 2", "wire", ("receiver:NO", "load:1"), "hoist"),
        load,
        Part("wire 3", "wire", ("load:2", "supply:N"), "hoist"),
    )  # fmt: skip
    output = Output("receiver:contact", "key:on", "momentary", "contact", "opens", "off", None)
    return Circuit("after", (), parts, (), outputs=(output,), motors=motors)


def _load(spoken: Spoken, catalog: Catalog, region: str) -> tuple[Part, tuple[Motor, ...]]:
    """The load as a part, a motor with what is known of it; named by its figures, for the findings."""
    pins, volts = ("load:1", "load:2"), _said("load.voltage", spoken.volts, "V")
    name = (
        spoken.text.removeprefix("drive input ") if spoken.kind == "input" else spoken.text.partition(" ")[2]
    )
    if spoken.kind == "motor":
        kind = "three-phase" if spoken.phases == 3 else "single-phase" if spoken.ac else "dc-permanent-magnet"
        values = _plate(spoken, catalog, region) | {"voltage": volts}
        return Part("winding", "winding", pins, "hoist"), (
            Motor(name, kind, ("winding",), "on", "back", values=values),
        )
    if spoken.kind == "coil":
        own = {"voltage": volts}
        for prop in ("inrush", "sealed"):
            va = getattr(spoken, prop)
            if va is not None:
                own[prop] = _said(f"load.{prop}", va, "VA")
        if spoken.power is not None:  # a coil for direct current: its resistance from power and voltage
            own["resistance"] = _said("load.resistance", spoken.volts**2 / spoken.power, "ohm")
        return Part(name, "coil", pins, "hoist", values=own), ()
    amps = spoken.amps if spoken.amps is not None else (spoken.power or 0.0) / spoken.volts
    ohms = _said("load.resistance", spoken.volts / amps, "ohm")
    if spoken.kind == "input":
        on = _said("load.on", spoken.volts, "V")
        return Part(name, "drive-input", pins, "hoist", values={"resistance": ohms, "on": on}), ()
    lamp = "lamp" if spoken.kind == "lamp" else ""
    return Part(name, "load", pins, "hoist", role=lamp, values={"voltage": volts, "resistance": ohms}), ()


def _plate(spoken: Spoken, catalog: Catalog, region: str) -> dict[str, Value]:
    """What is known of a motor: as written, or from the tables of the region by power and voltage."""
    found: dict[str, Value] = {}
    if spoken.locked is not None:
        found["locked_rotor_current"] = _said("load.locked_rotor_current", spoken.locked, "A")
    if spoken.amps is not None:
        found["full_load_current"] = _said("load.full_load_current", spoken.amps, "A")
    if spoken.power is None:
        return found
    found["power"] = _said("load.power", spoken.power, "W")
    if region == "us" and spoken.ac:
        tables = ("nec-430-250",) if spoken.phases == 3 else ("nec-430-248", "ul-508-motor")
        for name in tables:
            table = catalog.tables[name]
            volts = nearest_volts(spoken.volts)
            columns = (f"v{volts:.0f}", {115.0: "v120", 230.0: "v240"}.get(volts, ""))
            row = same_row(table, "power", spoken.power, 0.02)
            value = next((v for c in columns if (v := cell(table, row, c)) is not None), None)
            if value is not None:
                found["full_load_current"] = value
                break
    return found


def _said(id: str, si: float, unit: str) -> Value:
    return certain(id, si, unit, "stated", "as written")


def _behaviour() -> Behaviour:
    """Contact open, contact closed."""
    rest = Settled(frozenset(), (), (), ())
    held = Settled(frozenset({"key:on"}), ("load",), ("contact",), ())
    none, settled = Truth(True, 0, ()), (rest, held)
    return Behaviour(none, none, (), (), None, (), (), (), (), 0.0, settled, settled)


# ---- loads that are neither a coil nor a motor -----------------------------------------------------


def _plain_duties(case: Case) -> list[tuple[str, Duty]]:
    return [(s, d) for s, d in duties(case) if d.kinds("lamp", "input")]


@rule(
    "rating.make",
    "Contact closes onto lamps, heaters and inputs",
    danger=1,
    hazard="A cold lamp draws many times its current and welds a small contact.",
    sources=(both("IEC 60947-5-1 categories 12; relay makers' notes on lamps", "read"),),
    checks="Starting current of the load against what the contact may close onto.",
    needs="A resistive figure; for lamps a make figure.",
    does_not_cover="Input capacitors of supply units.",
    wants="behaviour",
)
def make_plain(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft:
        amps = steady(case, duty)
        if duty.loads[0].part.role != "lamp":
            limit, text = carrying(case, duty)
            return _plain(subject, amps, limit, f"closes onto {show(amps, 'A', toward='up')}", text, duty)
        multiple = case.cell("relay-screening", "lamp-inrush", "ratio")
        limit_or_none = duty.rated.use(case, "make")
        if limit_or_none is None:
            raise Missing(
                f"{duty.rated.key}.make", "read the lamp load or the make current on the data sheet"
            )
        start = amps * multiple
        found = f"closes onto {show(start, 'A', toward='up')} of a cold lamp"
        path = f"{multiple:g} x {show(amps, 'A')} = {show(start, 'A')}"
        return _plain(subject, start, limit_or_none, found, "declared make", duty, path)

    return case.each(_plain_duties(case), judge)


@rule(
    "rating.break",
    "Contact opens lamps, heaters and inputs",
    danger=1,
    hazard="A contact that cannot open its load keeps the arc.",
    sources=(both("IEC 60947-5-1 categories 12", "read"),),
    checks="Current of the load against the resistive figure.",
    needs="A resistive figure.",
    does_not_cover="Inductance of the wiring.",
    wants="behaviour",
)
def break_plain(case: Case) -> Iterable[Draft]:
    def judge(subject: str, duty: Duty) -> Draft:
        amps = steady(case, duty)
        limit, text = carrying(case, duty)
        return _plain(subject, amps, limit, f"opens {show(amps, 'A', toward='up')}", text, duty)

    return case.each(_plain_duties(case), judge)


def _plain(
    subject: str, amps: float, limit: float, found: str, text: str, duty: Duty, path: str = ""
) -> Draft:
    """One comparison of a load that is neither a coil nor a motor."""
    return compared(subject, Comparison(amps, limit, "at-most", "A"), f"{found} ({describe(duty.loads)})",
                    f"at most {show(limit, 'A')} ({text})", "let it drive a relay or contactor",
                    path=path or f"{show(amps, 'A', toward='up')} of {show(limit, 'A')}")  # fmt: skip


_OWN: dict[str, Rule] = {r.id: r for r in (make_plain, break_plain)}
