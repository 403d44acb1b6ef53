"""Which names and labels people would take for an alarm.

"Evacuate" and "evacuation" are what an alarm calls for in 29 CFR 1910.165(b) and in Directive 92/58/EEC,
Annex VII. The other words are common practice, no published source: no standard lists them, and they are
English alone.
"""

import re

from chime.programme.alike import folded
from chime.records import NamedTuple

WORDS = frozenset(
    (
        "fire", "fires", "wildfire", "bushfire", "firealarm",
        "evacuate", "evacuates", "evacuated", "evacuating", "evacuation", "evacuations", "evac",
        "invacuate", "invacuated", "invacuating", "invacuation", "invacuations",
        "lockdown", "lockdowns", "alarm", "alarms", "emergency", "emergencies", "panic",
        "intruder", "intruders", "gunman", "bomb", "bombs", "explosion", "hazmat",
        "tornado", "tornadoes", "tornados", "earthquake", "earthquakes", "tsunami",
    )
)  # fmt: skip
"""Words that name an emergency wherever they stand in a label."""

PHRASES = (
    ("lock", "down"), ("locked", "down"), ("locking", "down"), ("lock", "downs"),
    ("active", "shooter"), ("active", "attacker"), ("active", "threat"), ("code", "red"), ("air", "raid"),
    ("gas", "leak"), ("gas", "leaks"), ("gas", "escape"), ("gas", "attack"), ("smell", "of", "gas"),
    ("shelter", "in", "place"), ("sheltering", "in", "place"), ("take", "shelter"), ("taking", "shelter"),
    ("drop", "cover"),
)  # fmt: skip
"""Words that name an emergency side by side; alone they are ordinary words: gas fitters, a bus shelter."""

WHOLE_NAMES = frozenset((("gas",), ("shelter",), ("all", "clear")))
"""What names an emergency, or its end, where nothing else is said."""

DRILLS = frozenset(("drill", "drills"))

_UNSEEN = "\u00ad\u200b-\u200d\u2060\ufeff"
_WORD = re.compile(rf"[^\W\d_]+(?:[{_UNSEEN}]+[^\W\d_]+)*")
_IN_ONE_WORD = {"firedrill": ("fire", "drill"), "firedrills": ("fire", "drills")}
_JOINED_BY = frozenset(("and", "or"))
_PHRASES = tuple(sorted((*PHRASES, *((word,) for word in WORDS)), key=len, reverse=True))
_ORDINARY_WITHOUT_DRILL = frozenset(name for name in WHOLE_NAMES if len(name) == 1)


class Emergency(NamedTuple):
    """The words of a text that name an emergency, as written, and whether the text speaks of a drill only."""

    words: str
    is_drill: bool


class _Word(NamedTuple):
    text: str
    start: int
    end: int


def emergency_in(text: str) -> Emergency | None:
    """Return what in a text names an emergency, whole words only; None if nothing does.

    A drill is the word `drill` straight behind the name, or at the beginning and straight before it.
    """
    words = _words_of(text)
    said = tuple(word.text for word in words)
    if said in WHOLE_NAMES:
        return Emergency(text, is_drill=False)
    found = _found_in(said)
    if not found:
        return None
    named = {at for start, end in found for at in range(start, end)}
    alarms = [place for place in found if not _is_drilled(said, named, place)]
    start, end = (alarms or found)[0]
    return Emergency(text[words[start].start : words[end - 1].end], is_drill=not alarms)


def _words_of(text: str) -> list[_Word]:
    """Cut a text into its words; hyphens, digits and signs part them."""
    found = []
    for match in _WORD.finditer(text):
        word = folded(match.group())
        found += [_Word(part, *match.span()) for part in _IN_ONE_WORD.get(word, (word,))]
    return found


def _found_in(said: tuple[str, ...]) -> list[tuple[int, int]]:
    """Return where emergencies are named: the number of the first word, and of the word behind the last."""
    found = []
    at = 0
    while at < len(said):
        length = _length_at(said, at)
        if length:
            found.append((at, at + length))
        at += length or 1
    return found


def _length_at(said: tuple[str, ...], at: int) -> int:
    if said[at : at + 1] in _ORDINARY_WITHOUT_DRILL and at + 1 < len(said) and said[at + 1] in DRILLS:
        return 1
    return next((len(phrase) for phrase in _PHRASES if said[at : at + len(phrase)] == phrase), 0)


def _is_drilled(said: tuple[str, ...], named: set[int], place: tuple[int, int]) -> bool:
    """Tell whether `drill` stands behind an emergency, or first in the text; others may be between them."""
    start, end = place
    apart = [at for at, word in enumerate(said) if at not in named and word not in _JOINED_BY]
    behind = next((said[at] for at in apart if at >= end), "")
    before = [at for at in apart if at < start]
    return behind in DRILLS or (before == [0] and said[0] in DRILLS)
