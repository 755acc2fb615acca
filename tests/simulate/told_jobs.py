"""The base jobs that the told texts are about."""

from __future__ import annotations

from pathlib import Path

from wiring.files import load_catalog
from wiring.files.job import load_job
from wiring.model.job import Job

BASES = Path(__file__).parents[1] / "rules" / "bases"
CATALOG = load_catalog(BASES)


def job_of(name: str) -> Job:
    """A base job."""
    return load_job(BASES / f"{name}.toml")
