"""The farm: what happened and what follows from it. Knows no sentence.

`open_book` gives a farm book; `engine.events` has the kinds of record, `engine.errors` what a book can refuse. What is
named here is loaded when it is first used, so that importing the package costs next to nothing.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from engine.book import Book, BookView, Line, key_of, open_book
    from engine.checks import Doubt, doubts
    from engine.errors import BookError
    from engine.names import Names
    from engine.view import Fact, View

__version__ = "0.1.0"

__all__ = ["Book", "BookError", "BookView", "Doubt", "Fact", "Line", "Names", "View", "doubts", "key_of", "open_book"]

_HOME = {
    "Book": "book", "BookView": "book", "Line": "book", "key_of": "book", "open_book": "book", "Doubt": "checks",
    "doubts": "checks", "BookError": "errors", "Names": "names", "Fact": "view", "View": "view",
}  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'engine' has no attribute {name!r}")
    return getattr(importlib.import_module(f"engine.{_HOME[name]}"), name)
