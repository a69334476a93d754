"""Files written whole or not at all."""

from __future__ import annotations

import hashlib
import json
import math
import os
import secrets
from collections.abc import Mapping
from pathlib import Path

from bodycond.errors import UnreadableFileError


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file so that a reader sees the old content or the new, never half of it.

    Parameters
    ----------
    path : Path
        Where to write; its folder is made if need be.
    content : bytes
        What to write.

    Raises
    ------
    OSError
        If the folder cannot be written to; the old file is then untouched.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    # Opened by the usual means and not as a temporary file, so that who may read it follows the
    # user's own setting (umask) and not ours.
    unfinished = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    try:
        with unfinished.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        unfinished.replace(path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


def read_bytes(path: Path) -> bytes:
    """Read a whole file.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    bytes
        Its content.

    Raises
    ------
    UnreadableFileError
        If the file cannot be opened.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise _describe_closed(path, error) from error


def write_text(path: Path, text: str) -> None:
    """Write text as UTF-8 with LF line ends, whole or not at all.

    Parameters
    ----------
    path : Path
        Where to write.
    text : str
        What to write.
    """
    write_bytes(path, text.encode("utf-8"))


def write_json(path: Path, content: object) -> None:
    """Write JSON in a fixed order, so that equal content gives equal bytes.

    Parameters
    ----------
    path : Path
        Where to write.
    content : object
        Anything that `json.dumps` takes. NaN and infinite numbers are written as null, since
        JSON has neither.
    """
    text = json.dumps(
        _without_nan(content), ensure_ascii=False, indent=2, sort_keys=True, allow_nan=False
    )
    write_text(path, text + "\n")


def _without_nan(content: object) -> object:
    if isinstance(content, float) and not math.isfinite(content):
        return None
    if isinstance(content, Mapping):
        return {str(key): _without_nan(value) for key, value in content.items()}
    if isinstance(content, list | tuple):
        return [_without_nan(value) for value in content]
    return content


def hash_file(path: Path) -> str:
    """Give a file's SHA-256.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    str
        64 hexadecimal digits.

    Raises
    ------
    UnreadableFileError
        If the file cannot be opened.
    """
    try:
        with path.open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as error:
        raise _describe_closed(path, error) from error


def _describe_closed(path: Path, error: OSError) -> UnreadableFileError:
    return UnreadableFileError(
        needed=f"The file {path} must be readable",
        found=error.strerror or str(error),
        then="Check the path and that no other program has locked the file",
    )
