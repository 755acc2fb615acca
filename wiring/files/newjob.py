"""The text of a new job file: everything still unknown stands in it as `unknown`."""

from __future__ import annotations

import json
from dataclasses import dataclass

from wiring.model.entry import HoistType, ReceiverType


@dataclass(frozen=True, slots=True)
class Start:
    """What `new` asked. hoist, receiver: None where the type is not known."""

    title: str
    region: str
    country: str
    people: str
    hoist_id: str
    receiver_id: str
    hoist: HoistType | None = None
    receiver: ReceiverType | None = None


def quoted(text: str) -> str:
    """A TOML basic string of any text."""
    return json.dumps("".join(c for c in text if c.isprintable()), ensure_ascii=False)


def new_job(start: Start) -> str:
    """The job file. Raises nothing; the result loads without a problem."""
    blocks = [
        head(start),
        GATE,
        place(),
        SUPPLY,
        hoist(start),
        CORD,
        cores(start),
        PENDANT,
        receiver(start),
        TAIL,
    ]
    return "\n".join(blocks)


def head(start: Start) -> str:
    return f"""#:schema job.schema.json
# Lock out and prove dead before you touch a wire. Local codes and a licensed
# electrician decide. A material hoist does not lift people.
# `unknown` means not known yet: every check that needs it says how to find it.
[job]
title = {quoted(start.title)}
region = {quoted(start.region)}            # us | iec: the rule set
country = {quoted(start.country)}
stage = "design"           # design | installed | commissioned | hand-over
people = {quoted(start.people)}         # outside | beside | lifted
revision = "A"
"""


GATE = """# Do this before anything is opened, and again after any pause; then write it down.
[gate]
isolated_at = "unknown"    # where the plug or isolator is, and who holds it
# locked = true
# load_landed = true
# tester_proved = true            # on a known source, before
# poles_dead = true               # every pole to every pole and to earth
# tester_proved_again = true      # after
# capacitor_volts = "0 V"         # measured, below 50 V
# transmitter_battery_out = true
# at = 2000-01-01T08:00:00
"""


def place() -> str:
    return """[place]
# outside_scope = []       # explosive | molten | stage | magnet | passenger | mobile; [] = none applies
sees_load = "unknown"      # always | mostly | no
environment = "unknown"
"""


SUPPLY = """[supply]
system = "unknown"         # 1ph L-N | 1ph L-L | 3ph 3-wire | 3ph 4-wire | dc
voltage = "unknown"        # as "120 V"
frequency = "unknown"      # as "60 Hz"
tolerance = "unknown"      # as "10 %"
# protective_device = { kind = "breaker", rating = "20 A", source = "panel label" }
rcd = "unknown"
fault_current = "unknown"
"""


def hoist(start: Start) -> str:
    look = "".join(f"# look for: {one}\n" for one in (start.hoist.recognise if start.hoist else ()))
    return f"""{look}[hoist]
type = {quoted(start.hoist_id)}   # holdrun catalog hoist lists the types and what to look for
type_by = "guess"          # readings | traced | diagram | guess
hook_speed = "unknown"     # as "8 m/min"
# starts_per_hour = 60
# load_holding = {{ by = "brake alone", source = "plate" }}   # or worm gear, load-pressure brake

[meter]
lead_resistance = "unknown"  # touch the leads together, as "0.2 ohm"
"""


CORD = """[cord]
type = "unknown"           # holdrun catalog cable
size = "unknown"           # as "16 AWG" or "1.5 mm²"
length = "unknown"         # as "12 ft" or "4 m"
fate = "unknown"           # removed | tail-kept | kept
"""


def cores(start: Start) -> str:
    """One [[core]] per core of the type, role left unknown: a colour never tells it."""
    if start.hoist is None:
        return """# One [[core]] for each core in the pendant cord, counted at the gland.
# [[core]]
# id = "1"
# colour = "unknown"
# role = "unknown"
# by = "guess"             # readings | traced | diagram | colour | guess
"""
    count = sum(1 for core in start.hoist.cores if core.role != "earth")
    roles = ", ".join(core.role for core in start.hoist.cores)
    lines = [f"# roles of this type: {roles}; find each by readings: holdrun identify FILE"]
    ids = [str(n) for n in range(1, count + 1)]
    ids += ["PE"] if any(core.role == "earth" for core in start.hoist.cores) else []
    for id in ids:
        lines.append(f'[[core]]\nid = "{id}"\ncolour = "unknown"\nrole = "unknown"\nby = "guess"\n')
    return "\n".join(lines)


PENDANT = """[pendant]
fate = "unknown"           # removed | stop-kept | kept-with-selector
"""


def receiver(start: Start) -> str:
    """The receiver with one entry per output of its type, mode not yet shown."""
    lines = [
        f"""[receiver]
type = {quoted(start.receiver_id)}   # holdrun catalog receiver
source = "unknown"         # data sheet and page
on_signal_loss = "unknown" # a time as "0.4 s" | stays | closes
on_supply_return = "unknown"  # off | restores
opposing = "unknown"       # none | firmware | hardware
dead_time = "unknown"
step_two = "unknown"       # none | cumulative | replaces
"""
    ]
    buttons = {button.id for button in (start.hoist.buttons if start.hoist else ())}
    for out in start.receiver.outputs if start.receiver else ():
        # only a print that says so: which key works which output is otherwise found on the bench
        key = out.key or (out.id.lower() if out.id.lower() in buttons else "unknown")
        lines.append(
            f'[[receiver.output]]\nid = {quoted(out.id)}\nkey = {quoted(key)}\nmode = "unknown"\n'
            'mode_set_by = "unknown"\nmode_source = "unknown"\n'
        )
    return "\n".join(lines)


TAIL = """# Still to come: [[transmitter]], [[device]], [[remove]], [[cable]], [[connection]], [[stop]].
# holdrun map FILE proposes the connections; holdrun check FILE says what is missing.
"""
