"""Problems of an input file, all of them at once."""

from __future__ import annotations

import difflib
import itertools
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
    close = same or likest(name, known, 1)
    if close and len(name) <= 3 and close[0][:1].casefold() != name[:1].casefold():
        return ""  # too short to tell what was meant
    return close[0] if close else ""


def likest(name: str, names: Iterable[str], most: int, cutoff: float | None = None) -> list[str]:
    """The names most like `name`, best first; among equals the one with the longer common beginning."""
    least = cutoff if cutoff is not None else 0.5 if len(name) <= 3 else 0.6
    close = difflib.get_close_matches(name, list(names), most + 12, least)

    def likeness(other: str) -> tuple[float, int]:
        ratio = difflib.SequenceMatcher(None, other, name).ratio()
        return round(ratio, 3), sum(
            1 for _ in itertools.takewhile(lambda pair: pair[0] == pair[1], zip(other, name, strict=False))
        )

    return sorted(close, key=likeness, reverse=True)[:most]


def listed(names: Iterable[str], most: int = 24, like: str = "") -> str:
    """Names for a message: all, or the first few (those most like `like`) and how many more there are."""
    known: Sequence[str] = list(dict.fromkeys(names))
    if not known:
        return "none exists"
    if len(known) <= most:
        return ", ".join(known)
    first = (likest(like, known, 8, 0.3) if like else []) or list(known[:most])
    return f"{', '.join(first)} and {len(known) - len(first)} more"


def printable(text: str, most: int = 60) -> str:
    """Text of a file made fit for a message: no control characters, not long."""
    shown = "".join(character if character.isprintable() else "?" for character in text)
    return shown if len(shown) <= most else shown[:most] + "..."


def counted(data: Mapping[str, object], limits: Mapping[str, int], site: Reporter) -> None:
    """Raises InputError for lists longer than their limits: each entry adds states, faults and time."""
    for key, most in limits.items():
        entries = data.get(key)
        if isinstance(entries, list) and len(entries) > most:
            site.problem(key, f"{len(entries)} entries", f"at most {most}")
    site.finish()


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
            self.problem(
                key, f'"{printable(name)}"', f"{what}: {listed(valid, like=name)}", nearest(name, valid)
            )
        return name in valid

    def finish(self) -> None:
        """Raise InputError where there are problems, in the order of the file."""
        if self.problems:
            raise InputError(sorted(self.problems, key=lambda each: each.line))
