"""What takes long to work out, kept between starts as JSON in the user's own cache folder.

A file that is not ours, not for just these sources, or not whole counts for nothing: what it held is worked out anew.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

T = TypeVar("T")


def kept(
    name: str,
    key: str,
    make: Callable[[], Any],
    use: Callable[[Any], T],
    folder: Path | None = None,
) -> T:
    """`use(make())`, with what `make` gives taken from the cache if it was kept there under the same key.

    `use` must raise KeyError, TypeError, ValueError or IndexError if what it is given is not what `make` gives.
    """
    file = (folder or _folder()) / f"{name}.json"
    with suppress(OSError, KeyError, TypeError, ValueError, IndexError):
        return use(_read(file, key))
    made = make()
    with suppress(OSError):  # no room, no rights: then it is worked out at each start
        _write(file, key, made)
    return use(made)


def digest(texts: Mapping[str, str] | Iterable[str]) -> str:
    """A key for texts: others have another."""
    parts = [f"{name}\0{text}" for name, text in sorted(texts.items())] if isinstance(texts, Mapping) else texts
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


@cache
def _folder() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("rowcall", appauthor=False)


def _read(file: Path, key: str) -> Any:
    """The content of a file that this user wrote and nobody else could change; ValueError if it is not for `key`."""
    with file.open("rb") as opened:
        _must_be_private(os.fstat(opened.fileno()))
        head, _, content = opened.read().partition(b"\n")
    if head.decode("ascii", "replace") != _head(key, content):
        raise ValueError("kept for other sources, or not whole")
    return json.loads(content)


def _must_be_private(about: os.stat_result) -> None:
    if hasattr(os, "getuid") and (about.st_uid != os.getuid() or about.st_mode & 0o022):
        raise PermissionError("somebody else may have written it")


def _head(key: str, content: bytes) -> str:
    return f"{key} {hashlib.sha256(content).hexdigest()}"


def _write(file: Path, key: str, made: Any) -> None:
    """The whole file or none of it, readable by this user only."""
    from tempfile import mkstemp

    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    content = json.dumps(made, ensure_ascii=False, separators=(",", ":")).encode()
    handle, beside = mkstemp(prefix=file.name, dir=file.parent)  # which nobody else may read
    try:
        with open(handle, "wb") as opened:
            opened.write(_head(key, content).encode() + b"\n" + content)
        Path(beside).replace(file)
    except OSError:
        Path(beside).unlink(missing_ok=True)
        raise
