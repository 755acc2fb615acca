"""A folder with the example job, as a user would have it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

HERE = Path(__file__).parent


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The example job and its own device file in an otherwise empty folder."""
    for name in ("example.toml", "my-contactor.toml"):
        shutil.copy(HERE / name, tmp_path / name)
    return tmp_path
