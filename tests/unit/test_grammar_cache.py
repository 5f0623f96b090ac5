"""What is kept between starts: used only if it is ours, for these sources, and whole."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from grammar.cache import digest, kept
from grammar.compiled import Compiled, compile_all, compiled, compiled_of, plain
from grammar.rules import definitions


class Maker:
    """Makes a value, and counts how often it had to."""

    def __init__(self, value: Any) -> None:
        self.value = value
        self.made = 0

    def __call__(self) -> Any:
        self.made += 1
        return self.value


def words(found: dict[str, Any]) -> list[str]:
    return [str(word) for word in found["words"]]


@pytest.fixture
def make() -> Maker:
    return Maker({"words": ["radish", "½ bed"]})


def test_what_was_made_once_is_not_made_again(tmp_path: Path, make: Maker) -> None:
    twice = [kept("test", "key", make, words, tmp_path) for _ in range(2)]

    assert twice == [["radish", "½ bed"]] * 2
    assert make.made == 1


def test_for_other_sources_it_is_made_anew(tmp_path: Path, make: Maker) -> None:
    kept("test", "old", make, words, tmp_path)
    make.value = {"words": ["kale"]}

    assert kept("test", "new", make, words, tmp_path) == ["kale"]


def cut_short(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-9])


def altered(file: Path) -> None:
    file.write_bytes(file.read_bytes().replace(b"radish", b"ragwor"))


def emptied(file: Path) -> None:
    file.write_bytes(b"")


def overwritten(file: Path) -> None:
    file.write_bytes(os.urandom(200))


def opened_to_all(file: Path) -> None:
    file.chmod(0o666)


def replaced_by_a_folder(file: Path) -> None:
    file.unlink()
    file.mkdir()


@pytest.mark.parametrize("harm", [cut_short, altered, emptied, overwritten, opened_to_all, replaced_by_a_folder])
def test_a_file_that_was_harmed_counts_for_nothing(tmp_path: Path, make: Maker, harm: Callable[[Path], None]) -> None:
    kept("test", "key", make, words, tmp_path)
    harm(tmp_path / "test.json")

    assert kept("test", "key", make, words, tmp_path) == ["radish", "½ bed"]
    assert make.made == 2


def test_what_has_another_shape_than_expected_is_made_anew(tmp_path: Path, make: Maker) -> None:
    kept("test", "key", Maker({"crops": []}), lambda found: found, tmp_path)

    assert kept("test", "key", make, words, tmp_path) == ["radish", "½ bed"]


def test_it_is_readable_by_nobody_else_and_nothing_lies_beside_it(tmp_path: Path, make: Maker) -> None:
    folder = tmp_path / "made" / "for it"
    kept("test", "key", make, words, folder)

    assert [file.name for file in folder.iterdir()] == ["test.json"]
    assert stat.S_IMODE((folder / "test.json").stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_without_a_place_to_keep_it_it_is_made_each_time(tmp_path: Path, make: Maker) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("a file where the folder should be")

    assert [kept("test", "key", make, words, in_the_way) for _ in range(2)] == [["radish", "½ bed"]] * 2
    assert make.made == 2


def test_texts_that_differ_in_name_content_or_place_have_other_keys() -> None:
    keys = {digest(texts) for texts in ({"a": "b"}, {"a": "c"}, {"b": "b"}, {"a": "b", "c": ""})}

    assert len(keys) == 4


# ---- the compiled grammar --------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def made() -> Compiled:
    return compile_all(definitions())


def test_the_compiled_form_is_the_same_out_of_json(made: Compiled) -> None:
    assert compiled_of(json.loads(json.dumps(plain(made)))) == made


def test_what_is_kept_is_what_would_be_made_now(made: Compiled) -> None:
    assert compiled() == made


@pytest.mark.parametrize(
    "harm",
    [
        {"steps": [{"=bed": 10**9}]},
        {"begins": [-1]},
        {"ends": [[10**9, "sown", 0.0]]},
        {"rules": [["beds", [], "beds", 0.0]]},
        {"rules": [["beds", "=bed", "beds", 0.0]]},
        {"rules": [["beds"]]},
        {"entries": [["radish"]]},
        {"steps": None},
    ],
)
def test_a_compiled_form_that_cannot_be_is_refused(made: Compiled, harm: dict[str, Any]) -> None:
    with pytest.raises((KeyError, TypeError, ValueError)):
        compiled_of({**json.loads(json.dumps(plain(made))), **harm})


def test_a_start_with_the_compiled_form_at_hand_loads_no_lark(tmp_path: Path) -> None:
    asked = (
        "import sys\nfrom grammar.reader import read\nfrom grammar.vocabulary import PlainVocabulary\n"
        "read('what is free', PlainVocabulary())\nprint('lark' in sys.modules, 'tomllib' in sys.modules)"
    )
    starts = [
        subprocess.run(
            [sys.executable, "-c", asked],
            env={**os.environ, "XDG_CACHE_HOME": str(tmp_path), "LOCALAPPDATA": str(tmp_path), "HOME": str(tmp_path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.split()
        for _ in range(2)
    ]

    assert starts == [["True", "True"], ["False", "False"]]
