"""The letters of tapes that were punched before: a tape with the same holes keeps its letter.

A letter is written on the tape itself, so it never comes to stand for other holes, not even after the tape
has not been made for a while.
"""

import json
import re
from collections.abc import Sequence

from chime.records import NamedTuple

_LETTER = re.compile("[A-Z]{1,4}")
_FINGERPRINT = re.compile("[0-9a-f]{16}")


class Earlier(NamedTuple):
    """Letters that are taken, each with the fingerprint of its tape's holes, in order of the letters."""

    letters: tuple[tuple[str, str], ...] = ()


NOTHING_EARLIER = Earlier()


def read_earlier(plan: bytes | None) -> Earlier:
    """Return the letters of an earlier `plan.json`; what is no plan, or none of ours, has none."""
    try:
        known = json.loads(plan) if plan is not None else {}
        listed = [*known["tapes"], *known["retired"]] if known.get("format") == "chime-plan/1" else []
        pairs = {str(each["id"]): str(each["fingerprint"]) for each in listed}
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return NOTHING_EARLIER
    sound = {a: b for a, b in pairs.items() if _LETTER.fullmatch(a) and _FINGERPRINT.fullmatch(b)}
    return Earlier(tuple(sorted(sound.items(), key=in_order)))


def in_order(pair: tuple[str, str]) -> tuple[int, str]:
    """Sort letters as they are given: Z comes before AA."""
    return len(pair[0]), pair[0]


def choose_letters(fingerprints: Sequence[str], earlier: Earlier) -> list[str]:
    """Return a letter for each tape: its earlier one, else the next that was never taken."""
    known = {fingerprint: letter for letter, fingerprint in reversed(earlier.letters)}
    taken = {letter for letter, _ in earlier.letters}
    chosen: list[str] = []
    number = 0
    for fingerprint in fingerprints:
        letter = known.get(fingerprint)
        while letter is None:
            letter = letter_of(number) if letter_of(number) not in taken else None
            number += 1
        chosen.append(letter)
    return chosen


def letter_of(number: int) -> str:
    """Return the letter of a tape counted from 0: A to Z, then AA, AB and so on."""
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
