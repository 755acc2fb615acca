"""The state of a `[[reading]]`: other words would be read as nothing held."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.files import InputError, load_job

JOB = """[job]
title = "one reading"
region = "us"
stage = "design"
{hoist}
[[core]]
id = "1"

[[core]]
id = "2"

[[reading]]
between = ["1", "2"]
side = "handset"
state = "{state}"
quantity = "ohms"
value = "OL"
"""
KNOWN = '[hoist]\ntype = "reversing-contactors-24"\n'


def load(folder: Path, state: str, hoist: str) -> object:
    """The job with that state."""
    file = folder / "a.toml"
    file.write_text(JOB.format(state=state, hoist=hoist), "utf-8")
    return load_job(file)


@pytest.mark.parametrize("hoist", ["", KNOWN])
@pytest.mark.parametrize(
    ("state", "near"),
    [("released", "rest"), ("hold up", ""), ("pres up", "press"), ("press up, released", "rest")],
)
def test_other_words_are_a_problem(tmp_path: Path, hoist: str, state: str, near: str) -> None:
    """Whether the hoist type is known or not, a state in other words is refused, naming what is allowed."""
    with pytest.raises(InputError) as caught:
        load(tmp_path, state, hoist)
    (problem,) = caught.value.problems
    assert problem.key == "reading.0.state" and "press up" in problem.allowed
    assert problem.nearest == near


@pytest.mark.parametrize("hoist", ["", KNOWN])
@pytest.mark.parametrize("state", ["rest", "press up", "press up, open limit:up", "open limit:down"])
def test_the_words_that_there_are_load(tmp_path: Path, hoist: str, state: str) -> None:
    """At rest, a button pressed, a limit opened, and both, load with and without a hoist type."""
    load(tmp_path, state, hoist)
