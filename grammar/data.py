"""The word lists and phrase files that ship with the package."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from grammar.cache import digest, kept

HERE = Path(__file__).parent

Table = dict[str, dict[str, list[str]]]


@cache
def phrase_files() -> dict[str, str]:
    """The text of every .lark file by name."""
    return _texts("phrases", "lark")


@cache
def word_files() -> dict[str, str]:
    """The text of every .toml file by name, without the ending."""
    return {name.removesuffix(".toml"): text for name, text in _texts("words", "toml").items()}


@cache
def tables() -> dict[str, Table]:
    """All word lists by file name."""
    texts = word_files()
    return kept("words", digest(texts), lambda: _parsed(texts), _checked)


def table(name: str) -> Table:
    """One word list: category -> what it stands for -> the ways to say it."""
    return tables()[name]


def _texts(folder: str, ending: str) -> dict[str, str]:
    return {path.name: path.read_text("utf-8") for path in sorted((HERE / folder).glob(f"*.{ending}"))}


def _parsed(texts: Mapping[str, str]) -> dict[str, Table]:
    import tomllib  # seldom: the lists are kept parsed

    return {name: tomllib.loads(text) for name, text in texts.items()}


def _checked(found: dict[str, Table]) -> dict[str, Table]:
    for name, words in found.items():
        if not all(isinstance(way, str) for meanings in words.values() for ways in meanings.values() for way in ways):
            raise ValueError(f"{name}: a list of words holds something else")
    return found
