"""people.beside: people beside the load are warned."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.check.answers import answered, refused
from wiring.check.case import Case
from wiring.check.draft import Draft, failed, not_applicable, passed, unknown
from wiring.check.rule import iec, rule, us


@rule(
    "people.beside",
    "People beside the load are warned",
    danger=1,
    hazard="With the transmitter the operator can stand where people at the load do not expect a motion.",
    sources=(
        us("29 CFR 1910.179(i) warning device", "memory"),
        iec("DGUV Vorschrift 52: warning before a hazard", "memory"),
    ),
    checks="Where people work beside the load, how they are warned is asked and answered.",
    needs='job.people; where it is beside: [[answer]] requirement = "people.beside" (horn, lamp, second '
    "person).",
    does_not_cover="Whether the warning is heard.",
    wants="job",
)
def check(case: Case) -> Iterable[Draft]:
    if case.job.people is None:
        yield unknown("people", "where people are is not stated", "outside, beside or lifted",
                      "state people: outside, beside or lifted", key="job.people")  # fmt: skip
        return
    if case.job.people == "outside":
        yield not_applicable("people", "no people beside the load")
        return
    text = answered(case, "people.beside")
    wanted = "a warning that people beside the load notice, and room to step back"
    if refused(text):
        yield failed("people", "people are beside the load and nothing warns them", wanted,
                     "fit a horn or lamp, or keep people away", key="job.people")  # fmt: skip
    elif text:
        yield passed("people", f"warned by: {text}", wanted, key="job.people")
    else:
        yield unknown("people", "people are beside the load; how they are warned is not stated", wanted,
                      'answer it: [[answer]] requirement = "people.beside"', key="job.people")  # fmt: skip
