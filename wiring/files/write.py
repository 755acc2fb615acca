"""Writing: whole files at once or not at all, and edits of a job that keep its comments."""

from __future__ import annotations

import os
import secrets
import stat
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Literal

from wiring.files.edits import AddEntry, Edit, RemoveEntry, SetKey, apply_plain, apply_text
from wiring.files.text import decode, read_toml

Symlinks = Literal["follow", "refuse"]

__all__ = ["AddEntry", "Edit", "RemoveEntry", "SetKey", "atomic_write", "edit_job", "save_job"]


def atomic_write(path: Path | str, data: bytes | str, symlinks: Symlinks = "follow") -> None:
    """Replace or create a file so that a reader sees the old or the new content, never a part.

    The new content goes to a temporary file in the same folder, to the disk,
    then takes the name. Permissions of an existing file are kept. symlinks:
    "follow" writes the file that a link points to and leaves the link;
    "refuse" raises OSError on a link. A device or pipe is written straight
    through. Raises OSError; the old file is then untouched and nothing is left.
    """
    path = Path(path)
    content = data.encode("utf-8") if isinstance(data, str) else data
    if path.is_symlink():
        if symlinks == "refuse":
            raise OSError(f"{path} is a symbolic link")
        path = path.resolve()
    try:
        before = path.stat()
    except FileNotFoundError:
        before = None
    if before is not None and stat.S_ISDIR(before.st_mode):
        raise IsADirectoryError(f"{path} is a folder")
    if before is not None and not stat.S_ISREG(before.st_mode):
        path.write_bytes(content)
        return
    _replace(path, content, None if before is None else stat.S_IMODE(before.st_mode))


def _replace(path: Path, content: bytes, mode: int | None) -> None:
    """Write beside the path, then rename onto it."""
    beside = path.with_name(f".{path.name[:100]}.{secrets.token_hex(6)}.tmp")
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if mode is not None:
            os.chmod(beside, mode)
        os.replace(beside, path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Make the rename itself last through a power cut, where the system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return  # Windows cannot open a folder; the rename is atomic there all the same
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def edit_job(text: str, edits: Iterable[Edit]) -> str:
    """The job text with the edits done; comments, order and layout of everything else stay.

    Raises InputError where the text is no TOML, EditError where an edit names a
    place that is not there. The result is read again and compared with the same
    edits on plain data, so that what is returned says exactly what was asked.
    """
    read_toml(text, "job")
    wanted = list(edits)
    plain = apply_plain(tomllib.loads(text), wanted)
    result = apply_text(text, wanted)
    if tomllib.loads(result) != plain:
        raise RuntimeError("an edit of the job text did not give the intended content")
    return result


def save_job(path: Path | str, text: str) -> None:
    """Write a job file. Raises InputError, and writes nothing, where the text could not be read back."""
    name = Path(path).name
    read_toml(decode(text.encode("utf-8"), name), name)
    atomic_write(path, text)
