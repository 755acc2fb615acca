"""Problems of an input file, all of them at once."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from wiring.files.lines import line_for
from wiring.model.finding import Problem


class InputError(Exception):
    """An input file could not be used. problems: every reason, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Problem, ...]]]:
        return type(self), (self.problems,)


def nearest(name: str, names: Iterable[str]) -> str:
    """The valid name most like `name`, or an empty text where none is."""
    known = list(names)
    same = [each for each in known if each.casefold() == name.casefold()]
    close = same or difflib.get_close_matches(name, known, 1, 0.6)
    return close[0] if close else ""


def listed(names: Iterable[str], most: int = 24) -> str:
    """Names for a message: all, or the first few and how many more there are."""
    known: Sequence[str] = list(names)
    if not known:
        return "none exists"
    more = f" and {len(known) - most} more" if len(known) > most else ""
    return ", ".join(known[:most]) + more


def printable(text: str, most: int = 60) -> str:
    """Text of a file made fit for a message: no control characters, not long."""
    shown = "".join(character if character.isprintable() else "?" for character in text)
    return shown if len(shown) <= most else shown[:most] + "..."


@dataclass
class Reporter:
    """Collects the problems of one file. lines: where its keys stand."""

    file: str
    lines: Mapping[str, int]
    problems: list[Problem] = field(default_factory=list)

    def problem(self, key: str, found: str, allowed: str, near: str = "") -> None:
        """Note a problem at a key path of the file."""
        line = line_for(key, self.lines)
        self.problems.append(Problem(self.file, line, printable(key), found, allowed, near))

    def known(self, key: str, name: str, names: Iterable[str], what: str) -> bool:
        """Note a problem where `name` is none of `names`; True where it is one. what: "a coil"."""
        valid = tuple(names)
        if name not in valid:
            self.problem(key, f'"{printable(name)}"', f"{what}: {listed(valid)}", nearest(name, valid))
        return name in valid

    def finish(self) -> None:
        """Raise InputError where there are problems, in the order of the file."""
        if self.problems:
            raise InputError(sorted(self.problems, key=lambda each: each.line))
