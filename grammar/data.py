"""The word lists and phrase files that ship with the package."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

Table = dict[str, dict[str, list[str]]]


@cache
def table(name: str) -> Table:
    """One word list: category -> what it stands for -> the ways to say it."""
    return tomllib.loads((files("grammar") / "words" / f"{name}.toml").read_text("utf-8"))


def tables() -> dict[str, Table]:
    """All word lists by file name."""
    folder = files("grammar") / "words"
    names = sorted(entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml"))
    return {name: table(name) for name in names}


def phrase_files() -> dict[str, str]:
    """The text of every .lark file by name."""
    folder = files("grammar") / "phrases"
    return {entry.name: entry.read_text("utf-8") for entry in sorted(folder.iterdir(), key=lambda e: e.name)
            if entry.name.endswith(".lark")}  # fmt: skip
