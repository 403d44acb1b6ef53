"""Bells named after an emergency: what is refused, what is warned of, and what is nobody's alarm.

"Evacuate" is the word of 29 CFR 1910.165(b), "evacuation" that of Directive 92/58/EEC, Annex VII. The other
words are common practice, no published source.
"""

import pytest

from chime.diagnostics import Diagnostic
from chime.programme.emergency_words import PHRASES, WHOLE_NAMES, WORDS, emergency_in
from tests.compiling import checked, codes_of

PROGRAMME = """\
programme "Tollgate Seminary"
  place  Europe/London
  issue  1 on 2026-08-20
zone main on track 1
signal toll  6 s within 2 s
timetable normal in main
  ring 08:40, 15:10  toll
  ring 10:50         toll  "{label}"
week ordinary
  Mon to Fri  normal
  Sat, Sun    silent
term "Autumn"  2026-09-07 to 2026-12-18
  week ordinary
"""

REFUSED = {
    "Fire": "Fire",
    "FIRE!": "FIRE",
    "Fire 2": "Fire",
    "Fire and rescue talk": "Fire",
    "Fire-fighters' visit": "Fire",
    "Bush fires lecture": "fires",
    "Firealarm": "Firealarm",
    "Evacuate": "Evacuate",
    "Evacuated": "Evacuated",
    "evacuating the hall": "evacuating",
    "Evacuation": "Evacuation",
    "Invacuation": "Invacuation",
    "Lockdown": "Lockdown",
    "Lock-down": "Lock-down",
    "Lock down": "Lock down",
    "Lock  down now": "Lock  down",
    "Locked down": "Locked down",
    "Active shooter": "Active shooter",
    "Intruder in building": "Intruder",
    "Bomb": "Bomb",
    "Emergency exit check": "Emergency",
    "Panic": "Panic",
    "Tornado": "Tornado",
    "Earthquake": "Earthquake",
    "Code red": "Code red",
    "Gas": "Gas",
    "Gas leak": "Gas leak",
    "Gas alarm": "alarm",
    "Smell of gas": "Smell of gas",
    "Shelter": "Shelter",
    "Shelter in place": "Shelter in place",
    "Take shelter": "Take shelter",
    "All clear": "All clear",
    "Drop, cover, hold on": "Drop, cover",
    "Fire in the drill hall": "Fire",
    "Drill hall fire": "fire",
    "Fire drill, then fire": "fire",
    "ＦＩＲＥ": "ＦＩＲＥ",
    "ﬁre": "ﬁre",
    "Lock\u00addown": "Lock\u00addown",
}
"""Labels, each with the words that name the emergency."""

WARNED = (
    "Fire drill",
    "fire-drill",
    "Firedrill",
    "Fire drill practice",
    "Fire alarm drill",
    "Lockdown drills",
    "Lock-down drill, upper school",
    "Fire and lockdown drill",
    "Evacuation drill ends",
    "Earthquake drill",
    "Shelter drill",
    "Drill: evacuation",
)

FINE = (
    "Line up",
    "Firefly class",
    "Fireworks committee",
    "Campfire songs",
    "Gas fitters' lecture",
    "Natural gas seminar",
    "Bus shelter duty",
    "Sheltered housing visit",
    "Drill hall",
    "Drill",
    "Foot drill",
    "Lock the gates",
    "Sit down",
    "Active minds",
    "Code club",
    "Red house",
    "Air cadets",
    "Take registers",
    "All clear of the stage",
    "Alarming tales reading circle",
    "Bombardier lecture",
    "Panicle botany",
    "Period 4",
)


def faults_of(label: str) -> list[Diagnostic]:
    return [f for f in checked(PROGRAMME.format(label=label)).diagnostics if f.code.id in ("N391", "N392")]


@pytest.mark.parametrize("label", REFUSED)
def test_a_label_that_names_an_emergency_is_refused(label: str) -> None:
    (fault,) = faults_of(label)
    assert (fault.code.id, fault.severity) == ("N391", "error")
    assert fault.primary is not None
    assert fault.primary.span.text == f'"{label}"'
    assert f'without "{REFUSED[label]}"' in fault.suggestions[0].text


@pytest.mark.parametrize("label", WARNED)
def test_a_label_of_a_drill_is_warned_of(label: str) -> None:
    (fault,) = faults_of(label)
    assert (fault.code.id, fault.severity) == ("N392", "warning")


@pytest.mark.parametrize("label", FINE)
def test_a_label_that_only_sounds_like_one_is_fine(label: str) -> None:
    assert faults_of(label) == []


@pytest.mark.parametrize("words", [*((word,) for word in sorted(WORDS)), *PHRASES, *sorted(WHOLE_NAMES)])
def test_every_word_of_the_lists_is_found_written_in_any_way(words: tuple[str, ...]) -> None:
    for text in (" ".join(words), "-".join(words), " ".join(words).upper(), " ".join(words).title()):
        found = emergency_in(text)
        assert found is not None, text
        assert (found.words, found.is_drill) == (text, False)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("toll", "lock-down"),
        ("within 2 s", 'within 2 s  "Lock down"'),
        ("  ring 10:50", '  each period  start toll\n  period "Lock down"  11:20 - 12:05\n  ring 10:50'),
        ("  ring 10:50", '  each period  start toll\n  pause "Lock down"  11:20 - 12:05\n  ring 10:50'),
    ],
    ids=["signal's name", "signal's label", "period", "pause"],
)
def test_whatever_is_read_as_a_bells_name_is_looked_at(old: str, new: str) -> None:
    text = PROGRAMME.format(label="Line up")
    assert "N391" not in codes_of(text)
    assert codes_of(text.replace(old, new)).count("N391") == 1


def test_an_added_ring_bears_its_reason_and_a_dropped_one_does_not() -> None:
    text = PROGRAMME.format(label="Line up") + (
        'exceptions\n  2026-10-06  add 11:00 toll everywhere  "Gas leak"\n  2026-10-07  drop 15:10  "Gas leak"\n'
    )
    lines = [f.primary.span.line for f in checked(text).diagnostics if f.primary and f.code.id == "N391"]
    assert lines == [15]
