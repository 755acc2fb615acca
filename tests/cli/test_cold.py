"""The measuring of cold starts measures what it says."""

from __future__ import annotations

from tests.campaign.cold import first_screen, holdrun, medians, started


def test_a_command_is_started_and_measured() -> None:
    """A run gives wall and processor seconds and memory; one that cannot be used is no figure."""
    found = medians(1, lambda: started(holdrun("--version")))
    assert 0 < found["cpu s"] <= 30 and 0 < found["wall s"] <= 60 and found["memory MB"] > 5
    try:
        started(holdrun("check", "no-such-file.toml"))
    except RuntimeError as error:
        assert "ended with 2" in str(error)
    else:
        raise AssertionError("a command that failed was measured")


def test_the_first_screen_is_awaited() -> None:
    """The job stands on an 80x24 terminal after a moment."""
    assert 0 < first_screen()["wall s"] <= 30
