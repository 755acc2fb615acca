"""Every command and its options, in the order of the work."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable
from typing import Any

from wiring.cli import exits
from wiring.cli.entry import complain
from wiring.cli.nearest import hint

STAGES = ("design", "installed", "commissioned", "hand-over")

# name, module, one line
COMMANDS = (
    ("demo", "demo", "write the demo jobs, check, prove and draw them"),
    ("new", "new", "start a job file; prints the lockout sheet first"),
    ("open", "open", "the terminal screens"),
    ("identify", "identify", "guided meter session: the next best reading, until type and roles are known"),
    ("bench-test", "bench_test", "guided test of the receiver alone, nothing on its contacts"),
    ("map", "map", "propose connections with reasons; --write puts them into the job"),
    ("fit", "fit", "which receivers fit this hoist, and what each needs; without one: what to buy"),
    ("remedy", "remedy", "the smallest change that answers each failure, as a diff; --write does it"),
    ("rating", "rating", "one relay contact with one load, without a job"),
    ("check", "check", "all rules due at the job's stage"),
    ("prove", "prove", "truth tables, events, faults, stop matrix"),
    ("draw", "draw", "draw the proved circuit: .svg .png .pdf .txt"),
    ("pack", "pack", "the job pack: one PDF, loose sheets, or one page"),
    ("record", "record", "commissioning: what to measure, what to expect, results compared"),
    ("approve", "approve", "show what is approved, and write the approval"),
    ("compare", "compare", "what changed between two jobs, and what that voids"),
    ("catalog", "catalog", "list and show types; check FILE lints an entry"),
    ("new-type", "new_type", "a survey, then a commented skeleton of a hoist type"),
    ("rules", "rules", "list the rules, or show one in full"),
    ("schema", "schema", "JSON Schema of a file format"),
)


class Parser(argparse.ArgumentParser):
    """argparse with the nearest word named on a slip, and no abbreviations."""

    def error(self, message: str) -> None:  # type: ignore[override]
        complain(f"{self.prog}: {plainly(message, self.prog)}")
        raise SystemExit(exits.BAD_INPUT)

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        words = [str(each) for each in action.choices or ()]
        if action.choices is not None and value not in words:
            raise argparse.ArgumentError(
                action, f"found {value}; allowed: {' | '.join(words)}{hint(value, words)}"
            )

    def known_options(self, words: Iterable[str]) -> None:
        """Ends with exit 2 at the first option that is none: said before what is missing, since a slip
        in a needed option makes it missing."""
        for word in words:
            name = word.partition("=")[0]
            if word == "--":
                return
            if name.startswith("--") and " " not in name and name not in self._option_string_actions:
                names = [each for each in self._option_string_actions if each.startswith("--")]
                self.error(f"no option {name}{hint(name, names)}; all: {self.prog} --help")


def plainly(message: str, prog: str) -> str:
    """What argparse says, in the form of all other messages."""
    said = message.removeprefix("argument ")
    if said.startswith("the following arguments are required: "):
        return f"missing: {said.partition(': ')[2]}; all: {prog} --help"
    option, _, rest = said.partition(": ")
    if rest.startswith("ignored explicit argument "):
        return f"{option}: found {rest.removeprefix('ignored explicit argument ')}; it takes no value"
    if rest.startswith("not allowed with argument "):
        return f"{option} does not go together with {rest.removeprefix('not allowed with argument ')}"
    if rest == "expected one argument":
        return f"{option}: found no value; it takes one"
    return said


def parser() -> tuple[Parser, dict[str, Parser]]:
    """The whole command line, and the part of each command."""
    top = Parser(
        prog="holdrun",
        description="Plan and verify the conversion of a hoist pendant to a wireless receiver.",
        epilog="Lock out and prove dead before you touch a wire. Local codes and a licensed "
        "electrician decide. A material hoist does not lift people.",
        allow_abbrev=False,
    )
    top.add_argument("--version", action="store_true", help="print the version")
    commands = top.add_subparsers(dest="command", metavar="command", parser_class=Parser)
    parts: dict[str, Parser] = {}
    for name, module, line in COMMANDS:
        sub = commands.add_parser(
            name, help=line, description=line[0].upper() + line[1:] + ".", allow_abbrev=False
        )
        sub.set_defaults(module=module)
        OPTIONS[name](sub)
        parts[name] = sub
    return top, parts


def whole(most: int) -> Callable[[str], int]:
    """Reads a count from 1 to `most` as an option's value."""

    def read(text: str) -> int:
        digits = text.isascii() and text.isdigit() and len(text) <= len(str(most))
        if not digits or not 1 <= int(text) <= most:
            raise argparse.ArgumentTypeError(f"found {text[:40]}; allowed: a whole number from 1 to {most}")
        return int(text)

    return read


def reports(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("--json", action="store_true", help="one JSON document on standard output")


def faults(sub: argparse.ArgumentParser) -> None:
    sub.add_argument(
        "--faults", choices=("none", "single", "double"), default="single", help="faults to try (single)"
    )


def asked(sub: argparse.ArgumentParser, asks: dict[str, str]) -> None:
    """Options that are asked for where they are not given."""
    for option, line in asks.items():
        sub.add_argument(f"--{option}", help=line)


def demo(sub: argparse.ArgumentParser) -> None:
    sub.add_argument(
        "dir", nargs="?", default="holdrun-demo", help="folder to write (default ./holdrun-demo)"
    )
    sub.add_argument("--strict", action="store_true", help="exit code of the verdict, not of having written")
    reports(sub)


def new(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file to write; never overwritten")
    asks = {
        "title": "title of the job",
        "country": "country in two letters, such as US or DE",
        "region": "us or iec: whose rules (default: the country's)",
        "hoist": "hoist type of the catalog, a file beside the job, or unknown",
        "receiver": "receiver type of the catalog, a file beside the job, or unknown",
        "people": "people near the load: outside, beside or lifted",
    }
    asked(sub, asks)


def open_(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", nargs="?", help="job file")


#: Steps of the isolation gate that are only done or not.
GATE = {
    "locked": "locked, and the key is with you",
    "load-landed": "load landed, hook empty",
    "tester-proved": "tester proved on a source known to be live",
    "poles-dead": "every pole dead to every pole and to earth",
    "tester-proved-again": "tester proved again on the known source",
}


def identify(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("--buttons", help='buttons on the handset, such as "up,up.2,down,stop"')
    sub.add_argument("--pairs", action="store_true", help="never ask to tie cores together")
    sub.add_argument("--leads", help="ohms of the meter's leads touched together")
    sub.add_argument("--answer", action="append", help="answer to the next question; may be repeated")
    sub.add_argument("--isolated-at", help="where: plug in my hand, isolator with my lock on it")
    for step, line in GATE.items():
        sub.add_argument(f"--{step}", action="store_true", help=line)
    sub.add_argument("--capacitor-volts", help="volts DC left on the capacitor; 0 if there is none")
    sub.add_argument("--transmitter-battery-out", action="store_true",
                     help="battery out of the transmitter, or there is none yet")  # fmt: skip
    sub.add_argument("--qualified-person", help="who takes live readings; without it none is asked for")
    sub.add_argument("--write", action="store_true", help="put readings, type and roles into the job file")
    reports(sub)


def bench_test(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("--answer", action="append", help="answer to the next question; may be repeated")
    sub.add_argument("--write", action="store_true", help="put the results into the job file")
    reports(sub)


def map_(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("--write", action="store_true", help="put the proposal into the job file")
    reports(sub)


def fit(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("--all", action="store_true", help="what each receiver leaves open, in full")
    reports(sub)


def remedy(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("--write", action="store_true", help="put the whole change into the job file")
    sub.add_argument("--faults", choices=("none", "single"), default="single",
                     help="faults the change is proved with (single)")  # fmt: skip
    reports(sub)


def check(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", nargs="+", help="job files or folders")
    sub.add_argument("--stage", choices=STAGES, help="judge at this stage instead of the job's")
    sub.add_argument("--all", action="store_true", help="every finding in full")
    lists = sub.add_mutually_exclusive_group()
    lists.add_argument("--requirements", action="store_true", help="every clause, and what answers it")
    lists.add_argument("--recalled", nargs="?", const="", metavar="FILE.csv",
                       help="recalled figures to read up and confirm; with a file: as CSV")  # fmt: skip
    faults(sub)
    reports(sub)


def rating(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("--contact", required=True, help='as printed: "10 A resistive, B300, 1/3 hp 120 V"')
    sub.add_argument(
        "--load", required=True,
        help='"motor 3/4 hp 120 V", "coil 70/8 VA 24 V AC" (inrush/sealed), "coil 12 W 24 V DC", '
        '"drive input 24 V 6 mA", "lamp 60 W 230 V" or "resistive 5 A 230 V"',
    )  # fmt: skip
    sub.add_argument("--region", choices=("us", "iec"), default="us", help="whose rules (default us)")
    sub.add_argument("--starts-per-hour", type=whole(10_000), metavar="N",
                     help="in a busy hour, for the endurance")  # fmt: skip
    reports(sub)


def prove(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    faults(sub)
    sub.add_argument("--stage", choices=STAGES, help=argparse.SUPPRESS)
    sub.add_argument("--all", metavar="FILE.csv", help="write every truth-table row to a file")
    reports(sub)


def draw(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("-o", "--out", required=True, help="file to write: .svg .png .pdf .txt")
    sub.add_argument("--sheet", choices=("circuit", "connections", "legend"), default="circuit",
                     help="which sheet (circuit)")  # fmt: skip
    sub.add_argument("--symbols", choices=("iec", "us"), help="symbol set (default: the job's region)")
    sub.add_argument("--show", choices=("both", "before", "after"), default="both",
                     help="as found, as converted, or both (both)")  # fmt: skip
    sub.add_argument("--state", help='draw this state: "press key:up, open limit:up, fault K10.up stuck-in"')
    sub.add_argument("--paper", choices=("a4", "a3", "letter", "tabloid"),
                     help="paper it is laid out for (a3; with US symbols tabloid)")  # fmt: skip
    sub.add_argument("--dpi", type=whole(600), default=150, metavar="N", help="dots per inch of a .png (150)")
    sub.add_argument("--strict", action="store_true", help="exit code of the verdict, not of having written")


def pack(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("-o", "--out", help="the pack as .pdf")
    sub.add_argument("--sheets", metavar="DIR", help="every sheet as text, CSV and SVG")
    sub.add_argument("--html", metavar="OUT.html", help="the pack as one page that needs no network")
    sub.add_argument("--paper", choices=("a4", "letter"), help="default: the region's")
    sub.add_argument("--stage", choices=STAGES, help=argparse.SUPPRESS)
    sub.add_argument("--strict", action="store_true", help="exit code of the verdict, not of having written")


def record(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("--test", help="id of the test that was done, such as release-up")
    sub.add_argument("--measured", help='what was read or seen: "0.28 s", "23.1 V", ok, "not ok"')
    sub.add_argument("--by", help="who did it")
    sub.add_argument("--write", action="store_true", help="put the record into the job file")
    sub.add_argument("--diagnose", action="store_true", help="single faults that explain the records so far")
    sub.add_argument("--stage", choices=STAGES, help=argparse.SUPPRESS)
    reports(sub)


def approve(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="job file")
    sub.add_argument("--by", help="name of the licensed electrician")
    sub.add_argument("--licence", help="licence number")
    sub.add_argument("--date", help="default: today")
    sub.add_argument("--write", action="store_true", help="put the approval into the job file")
    reports(sub)


def compare(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("old", help="job file as it was")
    sub.add_argument("new", help="job file as it is")
    sub.add_argument("--strict", action="store_true", help="exit code of the new job's verdict")
    reports(sub)


def catalog(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("kind", nargs="?", help="hoist | receiver | device | cable | table | clause, or: check")
    sub.add_argument("id", nargs="?", help="an entry's id, or the file to check")
    reports(sub)


def new_type(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("file", help="file of the new type, beside the job; never overwritten")
    asks = {
        "title": "what it is, in a few words",
        "cores": "cores counted at the gland, earth included",
        "clicks": "yes or no: a contactor clicks at the hoist when a button is pressed",
        "buttons": 'motion buttons, such as "up,down"',
        "stop": "yes or no: there is a stop on the handset",
        "system": "supply: 1ph L-N, 1ph L-L, 3ph 3-wire, 3ph 4-wire or dc",
        "voltage": 'voltage on the plate, such as "230 V"',
        "frequency": 'frequency on the plate, such as "50 Hz" (dc: "0 Hz")',
        "plate": "text of the plate, word for word",
    }
    asked(sub, asks)


def rules(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("id", nargs="?", help="a rule's id")
    reports(sub)


def schema(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("kind", choices=("job", "hoist", "receiver", "device", "cable"), help="kind of file")


OPTIONS = {
    "demo": demo,
    "new": new,
    "open": open_,
    "identify": identify,
    "bench-test": bench_test,
    "map": map_,
    "fit": fit,
    "remedy": remedy,
    "rating": rating,
    "check": check,
    "prove": prove,
    "draw": draw,
    "pack": pack,
    "record": record,
    "approve": approve,
    "compare": compare,
    "catalog": catalog,
    "new-type": new_type,
    "rules": rules,
    "schema": schema,
}


def jobs_kept(argv: list[str]) -> list[str]:
    """The words with the first job kept a job where it stands behind --recalled: only a .csv is that
    option's."""
    jobs = [place for place, word in enumerate(argv) if word.endswith(".toml")]
    if jobs and argv[jobs[0] - 1] == "--recalled":
        return [*argv[: jobs[0] - 1], "--recalled=", *argv[jobs[0] :]]
    return argv


def parse(argv: list[str]) -> argparse.Namespace | int:
    """The parsed options, or the exit code where argparse has already answered."""
    top, parts = parser()
    try:
        if argv and argv[0] in parts:
            parts[argv[0]].known_options(argv[1:])
        args, left = top.parse_known_args(jobs_kept(argv))
        if left:
            what = f"no option {left[0]}" if left[0].startswith("-") else f"found {' '.join(left)}"
            parts.get(args.command, top).error(f"{what}; all: {top.prog} {args.command or ''} --help")
    except SystemExit as stop:
        return int(stop.code or 0)
    if args.command is None:
        top.print_help(sys.stderr)
        return exits.BAD_INPUT
    return args
