"""What can go wrong with a farm book, each with one sentence for the person.

    BookError
    |-- CannotOpen          there is no book to work with
    |   |-- NoBook          nothing is there, and none was to be made
    |   |-- NotABook        something else is there: another kind of file, another database, a folder
    |   |-- NewerBook       written by a later version of the program
    |   |-- NoAccess        the file, folder or server does not let us in
    |   |-- DamagedBook     the file was a book and can no longer be read
    |   `-- NoExport        the file is no export of a whole book, or cannot be read
    |-- CannotWrite         the book is there, but this could not be stored; nothing of it was
    |   |-- ReadOnlyBook    the file or disk is read-only
    |   |-- DiskFull        no room left
    |   |-- BookBusy        somebody else has held the book for too long
    |   `-- WouldReplace    a copy was to be written over a file that is there
    `-- WrongEntry          a correction or undo that does not fit the book
        |-- NoSuchEntry     there is no such entry, or it is of a kind that cannot be changed this way
        |-- NotStanding     it was taken back already
        |-- ChangedSince    somebody else changed it since it was looked at
        `-- Unfit           the record would not make sense with these fields

`str(error)` is the sentence: plain words, the file named, no password, no jargon.
"""

from __future__ import annotations


class BookError(Exception):
    """Anything that a farm book can refuse; its text is one sentence for the person."""


class CannotOpen(BookError):  # noqa: N818 - named after the situation, as all of them
    """There is no book to work with."""


class NoBook(CannotOpen):
    """Nothing is there, and none was to be made."""


class NotABook(CannotOpen):
    """Something else is there: another kind of file, another database, a folder."""


class NewerBook(CannotOpen):
    """Written by a later version of the program."""


class NoAccess(CannotOpen):
    """The file, folder or server does not let us in."""


class DamagedBook(CannotOpen):
    """The file was a book and can no longer be read."""


class NoExport(CannotOpen):
    """The file is no export of a whole book, or cannot be read."""


class CannotWrite(BookError):  # noqa: N818 - named after the situation
    """The book is there, but this could not be stored; nothing of it was."""


class ReadOnlyBook(CannotWrite):
    """The file or disk is read-only."""


class DiskFull(CannotWrite):
    """No room left."""


class BookBusy(CannotWrite):
    """Somebody else has held the book for too long."""


class WouldReplace(CannotWrite):
    """A copy was to be written over a file that is there."""


class WrongEntry(BookError):  # noqa: N818 - named after the situation
    """A correction or undo that does not fit the book."""


class NoSuchEntry(WrongEntry):
    """There is no such entry, or it is of a kind that cannot be changed this way."""


class NotStanding(WrongEntry):
    """It was taken back already."""


class ChangedSince(WrongEntry):
    """Somebody else changed it since it was looked at."""


class Unfit(WrongEntry):
    """The record would not make sense with these fields."""
