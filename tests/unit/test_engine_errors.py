"""The tree of errors is as it is drawn, and the package shows its face without loading its insides."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import engine
from engine import errors

TREE = Path(__file__).parents[2]


def drawn() -> dict[str, str]:
    """Child -> parent, as the docstring draws them: a level is four columns."""
    parents: dict[int, str] = {}
    found = {}
    for line in (errors.__doc__ or "").splitlines():
        if match := re.match(r"    ([|` ]*(?:-- )?)([A-Z]\w+)\b", line):
            depth = len(match[1]) // 4
            parents[depth] = match[2]
            if depth:
                found[match[2]] = parents[depth - 1]
    return found


def test_the_tree_is_as_it_is_drawn() -> None:
    classes = [one for one in vars(errors).values() if isinstance(one, type) and issubclass(one, errors.BookError)]

    assert drawn() == {one.__name__: one.__bases__[0].__name__ for one in classes if one is not errors.BookError}


def test_every_name_of_the_package_is_there() -> None:
    assert [name for name in engine.__all__ if not hasattr(engine, name)] == []


def test_the_version_is_that_of_the_distribution() -> None:
    project = tomllib.loads((TREE / "pyproject.toml").read_text("utf-8"))["project"]

    assert engine.__version__ == project["version"]


def test_the_package_is_cheap_to_import() -> None:
    script = "import sys, engine; print(sorted({'sqlalchemy', 'engine.book', 'engine.season'} & set(sys.modules)))"

    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"
