"""Where things of the person's own are kept on this machine: the book, the history and the log, the demo."""

from __future__ import annotations

from pathlib import Path

APP = "rowcall"


def book_file() -> Path:
    """The book that is opened when none is named."""
    from platformdirs import user_data_path

    return private(user_data_path(APP, appauthor=False)) / "book.db"


def state_folder() -> Path:
    """History and log."""
    from platformdirs import user_state_path

    return private(user_state_path(APP, appauthor=False))


def cache_folder() -> Path:
    """What can be thrown away and made again."""
    from platformdirs import user_cache_path

    return private(user_cache_path(APP, appauthor=False))


def private(folder: Path) -> Path:
    """The folder, made if need be so that only its owner looks into it; raises OSError where it cannot be made."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def private_file(path: Path) -> Path:
    """The file, made empty if need be so that only its owner reads it; raises OSError where it cannot be made."""
    path.touch(mode=0o600)
    return path
