"""`rowcall --try` as a person calls it."""

from __future__ import annotations

import json

MONDAY = ("--today", "2027-06-14")


def test_it_shows_the_reading_and_writes_nothing(farm) -> None:
    shown = farm.run(*MONDAY, "--try", "sowed radish in brook 4")
    after = farm.run(*MONDAY, "what is in brook 4")

    assert shown.returncode == 0
    assert '    beds  "brook 4"  Brook 4, after "in"' in shown.stdout
    assert "  would write:\n    Sowed radish in Brook 4." in shown.stdout
    assert "radish" not in after.stdout


def test_as_json_it_holds_no_record(farm) -> None:
    done = farm.run(*MONDAY, "--try", "--json", "sowed radish in brook 4")

    turn = json.loads(done.stdout)
    assert turn["records"] == []
    assert turn["reply"].startswith("Read, cost ")
