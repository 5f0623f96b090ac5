"""A short code for each harvest lot, to be written on a crate with a marker: "K3-7QA".

It is the number of the harvest's entry in the book, in 23 signs that are hard to take for one another in a wet
scrawl (no 0 O, 1 I L, 2 Z, 5 S, 8 B, U V), with a check sign last. As 23 is prime and the weights differ, one wrong
sign or two neighbours exchanged never make another good code.
"""

from __future__ import annotations

SIGNS = "34679ACDEFGHJKMNPQRTWXY"
BASE = len(SIGNS)
SHORTEST = 4


def lot_code(entry: int) -> str:
    """The code of a harvest by the number of its entry, in two groups; ValueError below 1."""
    if entry < 1:
        raise ValueError(f"no entry has the number {entry}")
    digits: list[int] = []
    while entry:
        entry, digit = divmod(entry, BASE)
        digits.append(digit)
    digits += [0] * (SHORTEST - len(digits))
    signs = "".join(SIGNS[digit] for digit in [*reversed(digits), _check(digits)])
    return f"{signs[:2]}-{signs[2:]}"


def entry_of(code: str) -> int | None:
    """The entry that a code stands for, however it is spaced or cased; None if it is no code or was misread."""
    signs = [SIGNS.find(sign) for sign in code.upper() if sign.isalnum()]
    if len(signs) <= SHORTEST or min(signs) < 0:
        return None
    *digits, check = signs
    if _check(digits[::-1]) != check:
        return None
    entry = 0
    for digit in digits:
        entry = entry * BASE + digit
    return entry or None


def _check(digits: list[int]) -> int:
    """Digits from the last to the first, each times its place, in the field of 23."""
    return sum((place + 2) * digit for place, digit in enumerate(digits)) % BASE
