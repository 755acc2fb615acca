"""conductor.colours: green is earth and nothing else, a neutral's colour is a neutral's."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiring.check.answers import answered
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, passed, unknown
from wiring.check.rule import iec, rule, us
from wiring.circuit.cables import conductor_colours
from wiring.model.job import Core

_GREEN = ("green", "green/yellow", "green-yellow", "green and yellow", "gnye", "gn")
_NEUTRAL = {"us": ("white", "grey", "gray", "natural grey"), "iec": ("blue", "light blue")}


@rule(
    "conductor.colours",
    "Colours of cores that stay",
    danger=2,
    hazard="The next person takes the green core for earth and the white one for neutral.",
    sources=(
        us("NEC 200.6, 200.7, 250.119"),
        iec("IEC 60204-1 13.2.2, 13.2.3; IEC 60445"),
    ),
    checks="Cores that stay on the hoist: the earth core is green or green/yellow and no other is; a core "
    "in the "
    "neutral's colour that is none, and a neutral in another, is re-identified at both ends. A live core in "
    "a colour that is neutral or earth in another set is told. Removed cords are left alone. "
    "An added cable without an earth conductor has no green one in use.",
    needs="core.colour and role; cord.fate.",
    does_not_cover="Colours of the other conductors of added cables, which their labels must follow; "
    "circuit-function colours, which are advice.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    stay = case.job.cord.fate != "removed"
    cores = [(f"core:{c.id}", (i, c)) for i, c in enumerate(case.job.cores) if stay]
    return [*case.each(cores, lambda s, item: judge(case, s, *item)), *green_left(case)]


def green_left(case: Case) -> Iterator[Draft]:
    """Added cables that come with a green conductor while none of their conductors is an earth."""
    given = conductor_colours(case.job, case.catalog)
    earths = {name.partition(":")[0] for name, colour in given.items() if colour.startswith("green")}
    for index, cable in enumerate(case.job.cables):
        kind = case.catalog.cables.get(cable.type or "")
        usual = kind.colours.get(str(len(cable.order or ())), ()) if kind else ()
        green = [colour for colour in usual if colour.startswith("green")]
        if not green or cable.id in earths:
            continue
        wanted, key = "green for earth alone", f"cable.{index}.order"
        text = answered(case, "conductor.colours")
        found = f"no conductor is earth, and one of {len(usual)} of this kind of cable is usually {green[0]}"
        if text:
            yield passed(cable.id, f"{found}: {text}", wanted, key="answer")
        else:
            yield unknown(cable.id, found, wanted, "take one more conductor and leave the green one unused",
                          "or a cable without a green one, then answer it: [[answer]] requirement = "
                          '"conductor.colours"', key=key)  # fmt: skip


def judge(case: Case, subject: str, index: int, core: Core) -> Draft:
    """One core that stays."""
    key = f"core.{index}.colour"
    colour = (core.colour or "").lower()
    wanted = "green for earth alone; the neutral's colour for a neutral, or both ends re-identified"
    if not colour:
        return unknown(subject, "its colour is not stated", wanted, "look at it", key=key)
    green = colour in _GREEN
    if green and core.role != "earth":
        return failed(subject, f"{core.colour} core used as {core.role or 'unknown'}", wanted,
                      "use another core and leave the green one for earth", key=key)  # fmt: skip
    if core.role == "earth" and not green:
        return failed(
            subject, f"earth on a {core.colour} core", wanted, "use the green or green/yellow core", key=key
        )
    if core.role == "neutral" and colour not in _NEUTRAL[case.region]:
        return re_identified(case, subject, core, key, f"the neutral on a {core.colour} core", wanted)
    if colour in _NEUTRAL[case.region] and core.role not in ("neutral", "earth"):
        return re_identified(case, subject, core, key, f"{core.colour} core used as {core.role}", wanted)
    return passed(subject, f"{core.colour}, {core.role or 'no role'}{elsewhere(case, core)}", wanted, key=key)


def re_identified(case: Case, subject: str, core: Core, key: str, found: str, wanted: str) -> Draft:
    """A core whose colour tells the wrong thing: answered, or to be taped and said so."""
    text = answered(case, "conductor.colours")
    if text:
        return passed(subject, f"{found}: {text}", wanted, key="answer")
    return unknown(subject, f"{found}; re-identification is not stated", wanted,
                   "tape or sleeve both ends in another colour",
                   'then answer it: [[answer]] requirement = "conductor.colours"', key=key)  # fmt: skip


def elsewhere(case: Case, core: Core) -> str:
    """A warning where the colour of a live core is the neutral's or the earth's in another set: that of
    old wiring, or of an imported hoist."""
    codes, sets = case.catalog.tables.get("colour-codes"), case.catalog.tables.get("colour-phase")
    if case.region != "iec" or codes is None or sets is None:
        return ""
    if core.role in ("neutral", "earth", "spare", None):
        return ""
    code = next((c for c, row in codes.rows.items() if row.get("colour") == (core.colour or "").lower()), "")
    told = [
        f"{use} in {row.get('about')}"
        for row in sets.rows.values()
        for use in ("neutral", "earth")
        if code and str(row.get(use, "")).partition(" ")[0] == code
    ]
    return f"; the same colour is {told[0]}" if told else ""
