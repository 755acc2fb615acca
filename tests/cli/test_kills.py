"""kill -9 while a command writes: every file is the old one whole or the new one whole."""

from __future__ import annotations

import pytest

from tests.campaign import kills


def test_no_way_to_write_is_forgotten() -> None:
    """Every command and option of the parser that writes is among those that the campaign kills."""
    assert kills.forgotten() == []


def test_a_new_way_to_write_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """A command or an option that nothing kills is named."""
    fewer = {name: argv for name, argv in kills.CALLS.items() if name not in ("map", "pack --html")}
    monkeypatch.setattr(kills, "CALLS", fewer)
    assert kills.forgotten() == ["map", "map --write", "pack --html"]


def test_kills(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four kills each of `new-type`, which makes a file, and `identify`, which changes one."""
    monkeypatch.setattr(kills, "CALLS", {name: kills.CALLS[name] for name in ("new-type", "identify")})
    monkeypatch.setattr(kills, "forgotten", list)
    monkeypatch.setattr(kills, "screens", lambda *_: {"kills": 0, "drafts": 0})
    found = kills.run(4, 2)
    assert found["failures"] == [] and found["kills"] == 8
