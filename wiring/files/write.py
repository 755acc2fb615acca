"""Writing: whole files at once or not at all, and edits of a job that keep its comments."""

from __future__ import annotations

import contextlib
import hashlib
import os
import secrets
import stat
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Literal

from wiring.files.edits import AddEntry, Edit, EditError, RemoveEntry, SetKey, apply_plain, apply_text
from wiring.files.problems import InputError, printable
from wiring.files.text import decode, read_text, read_toml
from wiring.model.finding import Problem

Symlinks = Literal["follow", "refuse"]

__all__ = [
    "AddEntry", "Edit", "RemoveEntry", "SetKey", "atomic_write", "edit_job", "rewrite_job", "save_job",
    "stamp_of",
]  # fmt: skip


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
    try:
        _replace(path, content, None if before is None else stat.S_IMODE(before.st_mode))
    except OSError as error:
        if error.errno is None:
            raise
        # named is the file that was asked for, not the one beside it that nobody knows
        raise OSError(error.errno, error.strerror, str(path)) from error


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


def stamp_of(text: str) -> str:
    """A short hash of a job's text: whether a file still says what was read from it."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]


def save_job(path: Path | str, text: str, stamp: str = "") -> None:
    """Write a job file. Raises InputError, and writes nothing, where the text could not be read back.

    stamp: that of the text which the new one was made from (`Job.stamp`). Where the
    file says something else by now, another program has written it: InputError, and
    its work stays. Raises OSError where the place cannot be written.
    """
    path = Path(path)
    read_toml(decode(text.encode("utf-8"), path.name), path.name)
    with _alone(path.resolve().parent):
        if stamp and stamp_of(read_text(path)) != stamp:
            found = "changed by another program since it was read"
            allowed = "the file as it was read; nothing was written, look at it and run the command again"
            raise InputError([Problem(printable(path.name), 0, "file", found, allowed)])
        atomic_write(path, text)


def rewrite_job(path: Path | str, edits: Iterable[Edit], stamp: str = "") -> None:
    """Edit a job file where it stands; line ends and comments stay. stamp: as in `save_job`.

    Raises InputError where the file cannot be read or its layout does not take the
    edit, OSError where it cannot be written.
    """
    path = Path(path)
    text = read_text(path)
    try:
        edited = edit_job(text, edits)
    except EditError as error:
        allowed = "entries written as [[name]]; this one is edited by hand"
        raise InputError([Problem(printable(path.name), 0, "file", str(error), allowed)]) from None
    save_job(path, edited, stamp or stamp_of(text))


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Looking and writing as one step: a second program of ours waits. Elsewhere than on POSIX the
    look alone has to do."""
    try:
        import fcntl

        handle = os.open(folder, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        with contextlib.suppress(OSError):  # a file system without locks
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)
