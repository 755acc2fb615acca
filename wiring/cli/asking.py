"""Guided commands: answers from options, from a pipe or from the terminal; the isolation gate."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator
from dataclasses import fields, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from wiring import InputError, edit_job, rewrite_job, save_job
from wiring.cli.entry import UsageError
from wiring.cli.nearest import hint
from wiring.cli.output import talk
from wiring.model.job import Gate, Job
from wiring.model.value import Amount

if TYPE_CHECKING:
    from wiring.files.write import Edit
    from wiring.identify import Session

#: Steps of the gate, as the options name them, and as they are asked.
STEPS = {
    "isolated_at": "Isolated where? (plug in my hand; isolator, my lock on it)",
    "locked": "Locked, the key with you?",
    "load_landed": "Load landed, hook empty?",
    "tester_proved": "Tester proved on a source that you know is live?",
    "poles_dead": "Every pole dead to every pole and to earth?",
    "tester_proved_again": "Tester proved again on the known source?",
    "capacitor_volts": "Volts DC across the capacitor after discharging it (0 if there is none)?",
    "transmitter_battery_out": "Battery of the transmitter out (yes if there is no transmitter yet)?",
}
YES = ("y", "yes")
#: Motion buttons of a pendant; those with two steps have ".2" too.
BUTTONS = ("up", "down", "left", "right", "forward", "back", "in", "out")
NOTHING = "nothing new to write"


def counted(number: int, what: str) -> str:
    """`1 result`, `3 results`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def text_of(file: str) -> str:
    """A job's text as it stands when a session begins."""
    return Path(file).read_bytes().decode("utf-8-sig")


def write_session(file: str, job: Job, original: str, edits: Iterable[Edit]) -> None:
    """Put what a session found into its job. Where another program has changed the file meanwhile
    that is refused, and what was found goes into a file beside it: hours with a meter are not lost."""
    wanted = list(edits)
    try:
        rewrite_job(file, wanted, job.stamp)
    except InputError:
        aside = Path(file).with_suffix(".session.toml")
        save_job(aside, edit_job(original, wanted))
        talk(f"wrote {aside} instead: the job as it was read, with what was found")
        raise


class Asking:
    """Where answers come from: the options first, then a pipe or the terminal."""

    def __init__(self, given: list[str] | None) -> None:
        self.given = list(given or ())
        self.terminal = sys.stdin.isatty()
        self.piped = not self.terminal and not self.given and sys.stdin.readable()

    @property
    def live(self) -> bool:
        """True where an answer can still come."""
        return self.terminal or bool(self.given) or self.piped

    def lines(self, prompt: str) -> Iterator[str]:
        """Answers one after the other; ends where there are no more."""
        while self.live:
            if self.given:
                yield self.given.pop(0)
                continue
            if self.terminal:
                print(f"  {prompt}", end="", file=sys.stderr, flush=True)
            line = sys.stdin.readline() if self.terminal or self.piped else ""
            if not line:
                self.piped = False
                return
            if line.strip():
                yield line.strip()


def gate_of(args: argparse.Namespace, gate: Gate | None, missing: tuple[str, ...]) -> Gate:
    """The gate with its open steps asked for. Raises UsageError naming the option where nobody can
    be asked, and where a step was not done."""
    found = gate or Gate()
    for key in missing:
        said = _step(args, key)
        if key == "isolated_at":
            found = replace(found, isolated_at=said)
        elif key == "capacitor_volts":
            found = replace(found, capacitor_volts=volts(said))
        elif said.lower() in YES:
            found = done(found, key)
        else:
            raise UsageError(f"not done: {STEPS[key].rstrip('?')}. No reading is asked for before that.")
    person = args.qualified_person or found.qualified_person
    return replace(found, at=datetime.now().replace(microsecond=0), qualified_person=person)


def done(gate: Gate, key: str) -> Gate:
    """The gate with one step true."""
    facts = {field.name: getattr(gate, field.name) for field in fields(gate)}
    return Gate(**{**facts, key: True})


def _step(args: argparse.Namespace, key: str) -> str:
    given = getattr(args, key, None)
    if given is True:
        return "yes"
    if given:
        return str(given)
    option = "--" + key.replace("_", "-")
    if not sys.stdin.isatty():
        raise UsageError(f"no terminal to ask: give {option}")
    print(f"  {STEPS[key]} ", end="", file=sys.stderr, flush=True)
    line = sys.stdin.readline()
    if not line.strip():
        raise UsageError(f"no answer: give {option}")
    return line.strip()


def volts(text: str) -> Amount:
    """Volts as typed: `2`, `2 V`. Raises UsageError."""
    bare = text.strip().removesuffix("V").removesuffix("v").strip()
    try:
        number = float(bare)
    except ValueError:
        number = -1.0
    if not 0.0 <= number < 10_000.0:
        raise UsageError(f"--capacitor-volts: found {text[:30]!r}; allowed: volts such as 2 V")
    return Amount(number, "voltage", f"{number:g} V")


def leads_of(args: argparse.Namespace, session: Session) -> Session:
    """The session with the resistance of the meter's leads, asked once."""
    if session.meter.lead_resistance is not None:
        return session
    said = args.leads
    if said is None and sys.stdin.isatty():
        print("  Touch the leads together. Ohms? ", end="", file=sys.stderr, flush=True)
        said = sys.stdin.readline().strip() or None
    if said is None:
        talk("The resistance of the leads is not known: nothing is subtracted (--leads).")
        return session
    return session.with_leads(lead_ohms(said))


def lead_ohms(text: str) -> Amount:
    """Ohms of the meter's leads as typed: `0.2`, `0.2 ohm`. Raises UsageError."""
    bare = text.lower().strip().removesuffix("ohm").strip()
    try:
        ohms = float(bare)
    except ValueError:
        ohms = -1.0
    if not 0.0 <= ohms < 20.0:
        raise UsageError(f"--leads: found {text[:30]!r}; allowed: ohms such as 0.2")
    return Amount(ohms, "resistance", f"{ohms:g} ohm")


def buttons_of(text: str) -> list[str]:
    """Buttons as typed: `up,up.2,down,stop`. Raises UsageError naming the first that is none."""
    allowed = (*BUTTONS, *(f"{name}.2" for name in BUTTONS), "stop", "start")
    named = [word.strip() for word in text.split(",") if word.strip()]
    for word in named:
        if word not in allowed:
            raise UsageError(f"--buttons: found {word}; allowed: {', '.join(allowed)}{hint(word, allowed)}")
    return named
