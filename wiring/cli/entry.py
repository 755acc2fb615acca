"""Parse the command line, run one command, turn every way to fail into its exit code."""

from __future__ import annotations

import os
import sys

from wiring.cli import exits

TYPE_CHECKING = False  # as in `wiring`: nothing is loaded for a type alone
if TYPE_CHECKING:
    from collections.abc import Sequence


def run(argv: list[str] | None = None) -> int:
    """Run one command. Never lets a traceback reach the user."""
    if argv is None:
        argv = sys.argv[1:]
    import wiring

    if stranger("wiring", wiring):
        return exits.BAD_INPUT
    if argv[:1] == ["--version"]:
        print(f"holdrun {wiring.__version__}")
        return exits.OK
    try:
        return dispatch(argv)
    except KeyboardInterrupt:
        print("interrupted", file=sys.stderr)
        return exits.INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return exits.OK
    except Exception as error:  # noqa: BLE001 - the last door: whatever comes here is our own bug
        return internal(error)


def dispatch(argv: list[str]) -> int:
    """Parse and call the command's `run`; input that cannot be used is exit 2."""
    import gc
    import importlib

    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # none is wanted; the search takes time
    from wiring.cli.parser import parse

    args = parse(argv)
    if isinstance(args, int):
        return args
    gc.set_threshold(200_000, 50, 50)  # many small lasting values: looking for cycles costs a sixth of a run
    from wiring import InputError

    try:
        command = importlib.import_module(f"wiring.cli.{args.module}")
        code: int = command.run(args)
    except InputError as error:
        complain_of(error.problems)
        return exits.BAD_INPUT
    except UsageError as error:
        complain(f"holdrun {args.command}: {error}")
        return exits.BAD_INPUT
    except BrokenPipeError:
        raise
    except OSError as error:  # a place that cannot be read or written: the person's to mend
        named = f"{error.filename}: " if error.filename else ""
        complain(f"holdrun {args.command}: {named}{error.strerror or error}")
        return exits.BAD_INPUT
    return code


MOST = 40  # problems of one file that are printed; more are seldom read, and seldom other than these


def complain_of(problems: Sequence[object]) -> None:
    """The problems of a file, one line each; of a great many the first, and how many more."""
    for problem in problems[:MOST]:
        complain(str(problem))
    if len(problems) > MOST:
        complain(f"... and {len(problems) - MOST} more problems")


def complain(line: str) -> None:
    """One message on stderr; what an argument or a file name holds cannot steer the terminal."""
    from wiring.sheets.words import clean

    whole = line.encode("utf-8", "replace").decode("utf-8")  # a file name need not be UTF-8
    print("\n".join(clean(each) for each in whole.split("\n")), file=sys.stderr)


class UsageError(Exception):
    """The options do not fit together, or a needed one is missing."""


def stranger(name: str, package: object) -> bool:
    """True, and one clear line, where another project's package of that name stands in our place."""
    if getattr(package, "__distribution__", "") == "holdrun":
        return False
    print(
        f"holdrun: the package '{name}' found here belongs to another project. "
        "Install holdrun in an environment of its own (pipx or uv tool install).",
        file=sys.stderr,
    )
    return True


def internal(error: Exception) -> int:
    """Our own bug: one line, and a report file with the traceback."""
    import tempfile
    import traceback

    handle, path = tempfile.mkstemp(prefix="holdrun-report-", suffix=".txt")
    with os.fdopen(handle, "w", encoding="utf-8") as report:
        report.write("".join(traceback.format_exception(error)))
    print(f"holdrun: internal error, no verdict: {type(error).__name__}. Report: {path}", file=sys.stderr)
    return exits.INTERNAL
