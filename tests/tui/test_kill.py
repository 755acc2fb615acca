"""kill -9 at any time: the file is whole, the draft is offered."""

from __future__ import annotations

from pathlib import Path

from tests.tui.drive import demo
from tests.tui.kills import kills


def test_five_kills_leave_the_file_whole_and_the_draft_is_offered(tmp_path: Path) -> None:
    """Killed while somebody types, nothing saved is lost and what was typed comes back."""
    told = kills(tmp_path, demo("malt-second-plan.toml"), n=5, seed=11)
    assert told["drafts"] >= 3
