"""`holdrun new FILE`: the lockout sheet, a few questions, a job file with every unknown visible."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from wiring import load_catalog, new_job_text, schema
from wiring.cli import exits
from wiring.cli.entry import UsageError
from wiring.cli.nearest import hint
from wiring.cli.output import ask, talk, write_file
from wiring.sheets.lockout_text import lockout_text
from wiring.sheets.words import wrap

REGIONS = ("us", "iec")
PEOPLE = ("outside", "beside", "lifted")
US_CODE = ("US", "CA")  # countries whose wiring rules are of the us family
FIRST = (
    "Before the handset is opened: count the cores at the gland, read the plate, and listen while somebody "
    "presses a button: a click at the hoist means contactors, no click means the button switches the motor."
)


def run(args: argparse.Namespace) -> int:
    """Ask or take options; never overwrite a file, never start from a demo."""
    target = Path(args.file)
    if target.exists():
        raise UsageError(f"{target} exists; give another name")
    catalog = load_catalog(target.parent)
    talk(lockout_text(catalog, region_of(args)))
    talk(wrap(FIRST))
    title = ask(args, "title", "Title of the job")
    country = ask(args, "country", "Country (two letters)").upper()
    region = args.region or ("us" if country in US_CODE else "iec")
    if region not in REGIONS:
        raise UsageError(f"--region: found {region}; allowed: us | iec")
    hoist = known(ask(args, "hoist", "Hoist type, or unknown"), list(catalog.hoists), "hoist")
    receiver = known(ask(args, "receiver", "Receiver type, or unknown"), list(catalog.receivers), "receiver")
    people = ask(args, "people", "People near the load: outside, beside, or lifted", PEOPLE)
    if people not in PEOPLE:
        raise UsageError(f"--people: found {people}; allowed: {' | '.join(PEOPLE)}")
    text = new_job_text(catalog, title, region, country, people, hoist, receiver)
    write_file(str(target), text)
    write_file(str(target.parent / "job.schema.json"), json.dumps(schema("job"), indent=2) + "\n")
    talk(f"wrote {target}. Next: holdrun check {target}, or holdrun open {target}")
    return exits.OK


def region_of(args: argparse.Namespace) -> str | None:
    """The region that the options tell before anything is asked."""
    given: str | None = args.region
    country: str | None = getattr(args, "country", None)
    if given is None and country:
        given = "us" if country.upper() in US_CODE else "iec"
    return given


def known(answer: str, ids: list[str], kind: str) -> str:
    """A type id of the catalog, a file beside the job, or `unknown`."""
    if answer == "unknown" or answer in ids or answer.endswith(".toml"):
        return answer
    allowed = f"unknown, a file beside the job, or an id of: holdrun catalog {kind}"
    raise UsageError(f"--{kind}: found {answer}; allowed: {allowed}{hint(answer, ids)}")
