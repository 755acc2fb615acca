"""The text of a new hoist type: a skeleton to complete from a survey of the real thing."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.files.newjob import quoted
from wiring.files.problems import Reporter
from wiring.files.quantity import QuantityError, parse

SYSTEMS = ("1ph L-N", "1ph L-L", "3ph 3-wire", "3ph 4-wire", "dc")
LIVE = {
    "1ph L-N": ("L", "N"),
    "1ph L-L": ("L1", "L2"),
    "3ph 3-wire": ("L1", "L2", "L3"),
    "3ph 4-wire": ("L1", "L2", "L3"),
    "dc": ("plus", "minus"),
}
OPPOSITES = {"up": "down", "left": "right", "forward": "back", "in": "out"}
MOTION = {
    "up": "hoist up", "down": "hoist down", "left": "trolley left", "right": "trolley right",
    "forward": "bridge forward", "back": "bridge back", "in": "winch in", "out": "winch out",
}  # fmt: skip

_WINDING = (
    '{{ id = "{0}", kind = "winding", at = ["motor.{1}", "motor.C"], resistance = "10 ohm", '
    'run_r = "50 ohm", run_x = "50 ohm", locked_r = "15 ohm", locked_x = "15 ohm" }}'
)
_THREE = (
    '{ id = "motor", kind = "motor3", at = ["motor.U1", "motor.V1", "motor.W1"], resistance = "6 ohm", '
    'run_r = "50 ohm", run_x = "40 ohm", locked_r = "8 ohm", locked_x = "10 ohm" }'
)
_TWO = (_WINDING.format("WA", "A"), _WINDING.format("WB", "B"))
_ARMATURE = (
    '{ id = "WM", kind = "winding", at = ["motor.1", "motor.2"], resistance = "0.04 ohm", '
    'run_r = "0.2 ohm", run_x = "0 ohm", locked_r = "0.04 ohm", locked_x = "0 ohm" }',
)
# the motor kind to begin with, its parts, and their ids; which kind it is must be traced
MOTOR = {
    "1ph L-N": ("capacitor", _TWO, ("WA", "WB")),
    "1ph L-L": ("capacitor", _TWO, ("WA", "WB")),
    "3ph 3-wire": ("three-phase", (_THREE,), ("motor",)),
    "3ph 4-wire": ("three-phase", (_THREE,), ("motor",)),
    "dc": ("dc-permanent-magnet", _ARMATURE, ("WM",)),
}


@dataclass(frozen=True, slots=True)
class Survey:
    """What a person can tell with the handset still closed. clicks: a contactor is heard at
    the hoist when a button is pressed; buttons: motion buttons in order; stop: a stop on the handset."""

    id: str
    title: str
    system: str
    voltage: str
    frequency: str
    cores: int
    clicks: bool
    buttons: tuple[str, ...]
    stop: bool
    plate: str


def new_type(survey: Survey) -> str:
    """The skeleton as TOML. It loads; what is still to be traced stands in comments marked TRACE.

    Raises InputError where voltage or frequency is none.
    """
    _check_plate(survey)
    return "\n".join(
        (head(survey), parts(survey), source(survey), cord(survey), motions(survey), end(survey))
    )


def _check_plate(survey: Survey) -> None:
    site = Reporter(f"{survey.id}.toml", {})
    for kind, text in (("voltage", survey.voltage), ("frequency", survey.frequency)):
        try:
            parse(text, kind)
        except QuantityError as error:
            site.problem(kind, error.found, error.allowed, error.nearest)
    site.finish()


def head(survey: Survey) -> str:
    click = (
        "a contactor clicks at the hoist"
        if survey.clicks
        else "no click at the hoist: the handset switches the motor"
    )
    return f"""# Lock out and prove dead before you touch a wire. Local codes and a licensed electrician
# decide. A material hoist does not lift people.
#
# Skeleton from a survey. Trace the real circuit, complete every line marked TRACE, then run
#   holdrun catalog check {survey.id}.toml
id = {quoted(survey.id)}
title = {quoted(survey.title)}
supply_system = {quoted(survey.system)}
voltage = {quoted(survey.voltage)}
frequency = {quoted(survey.frequency)}
recognise = [
    {quoted(click)},
    {quoted(f"{survey.cores} cores at the gland of the pendant cord")},
    {quoted(f"plate: {survey.plate}")},
]
load_holding = ""          # TRACE: worm gear, load-pressure brake ... with the source in notes
notes = []
earth = "PE"
terminals = ["PE"{"".join(f', "X1.{n}"' for n in range(1, len(roles(survey)) + 1))}]
junctions = [{", ".join(f'"mains.{p}"' for p in (*LIVE[survey.system], "PE"))}]
interlocks = {interlocks(survey)}
thermals = []              # TRACE: {{ id = "OL", auto_reset = false }}
exclusive = []             # TRACE: [["up", "down"]] where the handset blocks one while the other is pressed
"""


def interlocks(survey: Survey) -> str:
    """Opposing contactors in pairs: whether they are locked mechanically must be seen."""
    if not survey.clicks:
        return "[]"
    pairs = [f"K_{a}, K_{b}" for a, b in OPPOSITES.items() if a in survey.buttons and b in survey.buttons]
    return "[]              # TRACE: mechanical interlock seen? " + "; ".join(pairs)


def roles(survey: Survey) -> tuple[str, ...]:
    return ("feed", *survey.buttons)


def parts(survey: Survey) -> str:
    """Source, isolator, fuse, and per button a coil or the place of the motor lead."""
    live = LIVE[survey.system]
    lines = ["parts = ["]
    lines.append(
        f'    {{ id = "V1", kind = "source", at = ["mains.{live[0]}", "mains.{live[1]}"], phase = 0 }},'
    )
    lines.append("    # TRACE: the other sources of a three-phase supply, the bond of the neutral to earth")
    lines.append(
        '    { id = "Q1.1-2", kind = "contact", form = "NC", by = "stop:Q1", role = "power", '
        'at = ["Q1.1", "Q1.2"] },'
    )
    lines.append("    # TRACE: a pole for every live conductor")
    lines.append('    { id = "F1", kind = "fuse", at = ["F1.1", "F1.2"], rating = "10 A" },')
    for button in survey.buttons:
        if survey.clicks:
            lines.append(
                f'    {{ id = "K_{button}", kind = "coil", at = ["K_{button}.A1", "K_{button}.A2"], '
                f'voltage = {quoted(survey.voltage)}, resistance = "100 ohm", inrush = "70 VA", '
                'inrush_pf = 0.75, sealed = "8 VA", sealed_pf = 0.3 },'
            )
    lines += [f"    {part}," for part in MOTOR[survey.system][1]]
    lines.append(
        "    # TRACE: limits, overload contact, power contacts of each contactor, motor, brake, capacitor"
    )
    lines.append("]\nwires = [")
    lines.append(
        f'    ["W1", "mains.{live[0]}", "Q1.1"],\n    ["W2", "Q1.2", "F1.1"],\n    ["W3", "F1.2", "X1.1"],'
    )
    for number, button in enumerate(survey.buttons, 2):
        if survey.clicks:
            lines.append(
                f'    ["W{2 * number}", "X1.{number}", "K_{button}.A1"], # TRACE: limit and interlock'
            )
            lines.append(
                f'    ["W{2 * number + 1}", "K_{button}.A2", "mains.{live[1]}"], # TRACE: control common'
            )
    lines.append('    ["W99", "mains.PE", "PE"],\n]\n')
    return "\n".join(lines)


def source(survey: Survey) -> str:
    return f"""[source]
title = {quoted(f"survey of the hoist; plate: {survey.plate}")}
basis = "memory"           # read, once every line was traced; say by whom in notes
"""


def cord(survey: Survey) -> str:
    """Cores and handset contacts, one common feed, a stop before the buttons where there is one."""
    feed = "g" if survey.stop else "feed"
    lines = [
        "[cord]",
        'colourings = ["as seen"]',
        f"handset_junctions = [{quoted('g') if survey.stop else ''}]",
        "cores = [",
    ]
    for number, role in enumerate(roles(survey), 1):
        lines.append(f'    {{ role = {quoted(role)}, at = "X1.{number}", colours = ["unknown"] }},')
    lines.append(
        '    { role = "earth", at = "PE", colours = ["unknown"] }, # TRACE: by reading, never by colour'
    )
    lines.append("]\ncontacts = [")
    if survey.stop:
        lines.append('    { id = "ES", by = "stop:ES", form = "NC", between = ["feed", "g"] },')
    for button in survey.buttons:
        lines.append(
            f'    {{ id = {quoted(button)}, by = "button:{button}", form = "NO", '
            f'between = ["{feed}", "{button}"] }},'
        )
    lines.append("]\n")
    if len(roles(survey)) + 1 != survey.cores:
        lines.append(
            f"# TRACE: {survey.cores} cores were counted, {len(roles(survey)) + 1} are listed here\n"
        )
    return "\n".join(lines)


def motions(survey: Survey) -> str:
    lines = [f'[[button]]\nid = "{b}"\nmotion = "{MOTION.get(b, b)}"\n' for b in survey.buttons]
    if survey.stop:
        lines.append('[[stop]]\nid = "ES"\nkind = "pendant stop"\nreach = "operator"\n')
    lines.append('[[stop]]\nid = "Q1"\nkind = "isolator"\nreach = "elsewhere"\n')
    return "\n".join(lines)


def end(survey: Survey) -> str:
    """Expected rows by purpose: the self-test fails until the circuit is complete."""
    kind, _, ids = MOTOR[survey.system]
    first = survey.buttons[0]
    second = OPPOSITES.get(first, survey.buttons[-1])
    lines = [
        f"[[motor]] # TRACE: which kind it is, and its leads\nid = \"motor\"\nkind = {quoted(kind)}\n"
        f"parts = [{', '.join(quoted(i) for i in ids)}]\n"
        f"positive = {quoted(MOTION.get(first, first))}\nnegative = {quoted(MOTION.get(second, second))}\n",
        "# TRACE: [[limit]], [[brake]], [[insertion]]: see the built-in types\n",
    ]
    lines.append("[[expect]]\npress = []\nmotions = []\n")
    for button in survey.buttons:
        lines.append(f'[[expect]]\npress = ["{button}"]\nmotions = ["{MOTION.get(button, button)}"]\n')
    return "\n".join(lines)
