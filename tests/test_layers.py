"""The three packages know of each other only downward, and each outside library only where it is used."""

import ast
import tomllib
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

TREE = Path(__file__).parents[1]
PACKAGES = ("engine", "grammar", "assistant")

UPWARD = {"engine": {"grammar", "assistant"}, "grammar": {"engine", "assistant"}, "assistant": set()}

# What keeps the book on disk; the rest of the engine works on plain facts and seasons.
STORAGE = ("book", "change", "database", "keeping", "kept", "migrations*", "standing", "tables", "upgrade")

# library -> the modules that may import it
HOMES = {
    "sqlalchemy": tuple(f"engine.{module}" for module in STORAGE),
    "alembic": ("engine.upgrade", "engine.migrations*"),
    "lark": ("grammar.rules",),
    "prompt_toolkit": ("assistant.repl", "assistant.complete"),
}

# Slow to load and seldom needed: never at the top of a module, or `rowcall "what's free"` would wait for them.
ONLY_WHEN_USED = ("alembic", "highspy", "rapidfuzz", "prompt_toolkit", "platformdirs")
ONLY_WHEN_USED_BUT = {"prompt_toolkit": ("assistant.repl",), "alembic": ("engine.migrations*",)}

# Who looks at a clock: the program's start for the farm's day, which is handed in everywhere else, and the conversation
# for the moment at which a line was said.
CLOCKS = ("assistant.__main__", "assistant.conversation")


def modules() -> dict[str, Path]:
    return {
        ".".join(path.relative_to(TREE).with_suffix("").parts).removesuffix(".__init__"): path
        for package in PACKAGES
        for path in sorted((TREE / package).rglob("*.py"))
    }


def imported(node: ast.AST) -> Iterator[str]:
    """The top names that an import statement brings in; a relative import stays within its own package."""
    if isinstance(node, ast.Import):
        yield from (alias.name.split(".")[0] for alias in node.names)
    elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
        yield node.module.split(".")[0]


def imports(path: Path) -> set[str]:
    return {name for node in ast.walk(ast.parse(path.read_text("utf-8"))) for name in imported(node)}


def imports_on_loading(path: Path) -> set[str]:
    """What is imported as soon as the module is: not within functions, nor for the type checker alone."""
    waiting = list(ast.parse(path.read_text("utf-8")).body)
    names: set[str] = set()
    while waiting:
        node = waiting.pop()
        names.update(imported(node))
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            waiting += node.orelse
        elif not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            waiting += [child for child in ast.iter_child_nodes(node) if isinstance(child, ast.stmt)]
    return names


def allowed(module: str, homes: tuple[str, ...]) -> bool:
    return any(fnmatch(module, home) for home in homes)


def test_every_package_is_walked() -> None:
    assert {name.split(".")[0] for name in modules()} == set(PACKAGES)


@pytest.mark.parametrize("package", PACKAGES)
def test_nothing_calls_upward(package: str) -> None:
    upward = {
        name: found
        for name, path in modules().items()
        if name.split(".")[0] == package and (found := imports(path) & UPWARD[package])
    }

    assert upward == {}


@pytest.mark.parametrize("library", HOMES)
def test_a_library_is_imported_only_where_it_is_at_home(library: str) -> None:
    strays = [
        name for name, path in modules().items() if library in imports(path) and not allowed(name, HOMES[library])
    ]

    assert strays == []


@pytest.mark.parametrize("library", ONLY_WHEN_USED)
def test_a_slow_library_is_loaded_only_when_used(library: str) -> None:
    homes = ONLY_WHEN_USED_BUT.get(library, ())
    eager = [
        name for name, path in modules().items() if library in imports_on_loading(path) and not allowed(name, homes)
    ]

    assert eager == []


def clock_calls(path: Path) -> list[str]:
    """Calls that ask what day or time it is, as written."""
    return [
        ast.unparse(node)
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and (
            node.func.attr in ("now", "utcnow", "today")
            or (node.func.attr == "time" and ast.unparse(node.func.value) == "time")
        )
    ]


def test_nobody_but_the_program_s_start_looks_at_the_clock() -> None:
    looks = {name: calls for name, path in modules().items() if (calls := clock_calls(path))}

    assert {name: calls for name, calls in looks.items() if not allowed(name, CLOCKS)} == {}


def test_every_folder_of_code_is_in_the_wheel() -> None:
    shipped = set(tomllib.loads((TREE / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]["packages"])
    folders = {".".join(path.parent.relative_to(TREE).parts) for path in modules().values()}

    assert folders <= shipped


def test_every_data_file_is_in_the_wheel() -> None:
    globs = tomllib.loads((TREE / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]["package-data"]
    files = [path for package in PACKAGES for path in (TREE / package).rglob("*") if path.is_file()]
    data = [path.relative_to(TREE) for path in files if path.suffix not in (".py", ".pyc") and path.name != "py.typed"]
    left = [str(file) for file in data if not any(_ships(file, package, globs[package]) for package in globs)]

    assert left == []


def _ships(file: Path, package: str, globs: list[str]) -> bool:
    folder = Path(*package.split("."))
    return file.is_relative_to(folder) and any(
        file.relative_to(folder).parts[:-1] == Path(glob).parts[:-1] and fnmatch(file.name, Path(glob).name)
        for glob in globs
    )
