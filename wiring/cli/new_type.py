"""`holdrun new-type FILE`: a survey with the handset still closed, then a commented skeleton."""

from __future__ import annotations

import argparse
from pathlib import Path

from wiring import new_type_text
from wiring.cli import exits
from wiring.cli.asking import BUTTONS
from wiring.cli.entry import UsageError
from wiring.cli.output import ask, talk, write_file
from wiring.sheets.words import CAUTION, wrap

YES_NO = ("yes", "no")
SYSTEMS = ("1ph L-N", "1ph L-L", "3ph 3-wire", "3ph 4-wire", "dc")


def run(args: argparse.Namespace) -> int:
    """Ask what can be seen and heard, write the skeleton; never overwrite."""
    target = Path(args.file)
    if target.suffix != ".toml":
        raise UsageError(f"{target}: a type is a .toml file beside the job")
    if target.exists():
        raise UsageError(f"{target} exists; give another name")
    talk(wrap(CAUTION))
    talk("Everything asked here can be told with the handset still closed.")
    title = ask(args, "title", "What it is, in a few words")
    cores = ask(args, "cores", "Cores counted at the gland, earth included")
    if not cores.isdigit() or not 2 <= int(cores) <= 40:
        raise UsageError(f"--cores: found {cores}; allowed: a count from 2 to 40")
    clicks = chosen(
        ask(args, "clicks", "Does a contactor click at the hoist when a button is pressed", YES_NO),
        YES_NO,
        "clicks",
    )
    buttons = tuple(
        ask(args, "buttons", "Motion buttons, with commas, such as up,down").replace(" ", "").split(",")
    )
    wrong = [b for b in buttons if b not in BUTTONS]
    if wrong:
        raise UsageError(f"--buttons: found {wrong[0]}; allowed: {', '.join(BUTTONS)}")
    stop = chosen(ask(args, "stop", "Is there a stop on the handset", YES_NO), YES_NO, "stop")
    system = chosen(ask(args, "system", "Supply system", SYSTEMS), SYSTEMS, "system")
    voltage = ask(args, "voltage", 'Voltage on the plate, such as "230 V"')
    frequency = ask(args, "frequency", 'Frequency on the plate, such as "50 Hz" (dc: "0 Hz")')
    plate = ask(args, "plate", "Text of the plate, word for word")
    text = new_type_text(
        target.stem,
        title,
        system,
        voltage,
        frequency,
        int(cores),
        clicks == "yes",
        buttons,
        stop == "yes",
        plate,
    )
    write_file(str(target), text)
    talk(f"wrote {target}. Next: trace the circuit, then holdrun catalog check {target}")
    return exits.OK


def chosen(answer: str, allowed: tuple[str, ...], name: str) -> str:
    """The answer where it is one of the allowed words. Raises UsageError."""
    if answer not in allowed:
        raise UsageError(f"--{name}: found {answer}; allowed: {' | '.join(allowed)}")
    return answer
