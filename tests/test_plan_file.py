"""`plan.json`: valid by its schema, whole, and played by a player of its own it gives the wanted rings.

The schema is checked by the `jsonschema` library (JSON Schema 2020-12), the rings by `tests/oracle/plan_player`,
which knows nothing but the schema's words.
"""

import json
from datetime import UTC, datetime
from functools import cache
from hashlib import sha256
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from chime.compiler import Compiled, compile_programme
from tests.oracle.plan_player import play

PROGRAMMES = Path(__file__).parent.parent / "programmes"
SAMPLES = Path(__file__).parent / "samples"
NAMES = ("guest-house", "observatory", "ondermarch", "playhouse", "ropeworks")
ALL = (*NAMES, "saltmarsh", "banksia", "brickfield")


@cache
def compiled(name: str) -> Compiled:
    path = (PROGRAMMES if name in NAMES else SAMPLES) / f"{name}.chime"
    return compile_programme(path.name, path.read_bytes(), lambda inner: (path.parent / inner).read_bytes())


def plan_of(name: str) -> dict[str, Any]:
    plan: dict[str, Any] = json.loads(compiled(name).artefacts[-1].content)
    return plan


@cache
def schema() -> Any:
    return json.loads(files("chime.writers").joinpath("plan.schema.json").read_text(encoding="utf-8"))


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("name", ALL)
def test_every_plan_is_valid(name: str) -> None:
    jsonschema.Draft202012Validator(schema()).validate(plan_of(name))


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("format",), "chime-plan/2"),
        (("days", 0, "tape"), "a"),
        (("duties", 0, "from"), "2026-09-04 15:06"),
        (("tapes", 0, "holes", 0, "row"), -1),
        (("files", "plan.json"), "0" * 64),
        (("unknown",), 1),
    ],
)
def test_the_schema_refuses_what_is_wrong(path: tuple[str | int, ...], value: object) -> None:
    plan: Any = plan_of("saltmarsh")
    *above, last = path
    place = plan
    for key in above:
        place = place[key]
    place[last] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(schema()).validate(plan)


@pytest.mark.parametrize("name", ALL)
def test_played_minute_by_minute_a_plan_gives_every_wanted_ring_and_no_other(name: str) -> None:
    from zoneinfo import ZoneInfo

    verified = compiled(name).verified
    assert verified is not None
    there = ZoneInfo(verified.programme.place)
    wanted = {
        (ring.at.replace(tzinfo=there, fold=ring.fold).astimezone(UTC), ring.zone)
        for ring in verified.calendar.rings
    }
    assert play(plan_of(name)) == wanted


def test_the_player_plays_the_rows_and_not_the_times() -> None:
    plan = plan_of("brickfield")
    heard = play(plan)
    for tape in plan["tapes"]:
        for hole in tape["holes"]:
            hole["times"] = ["Mon 00:00"]
    assert play(plan) == heard
    plan["tapes"][0]["holes"][0]["row"] += 1
    assert play(plan) != heard


@pytest.mark.parametrize("name", ALL)
def test_a_plan_is_made_last_and_lists_every_other_file_with_its_digest(name: str) -> None:
    *others, plan = compiled(name).artefacts
    assert plan.name == "plan.json"
    assert plan_of(name)["files"] == {file.name: sha256(file.content).hexdigest() for file in others}


@pytest.mark.parametrize("name", ALL)
def test_every_hole_stands_on_exactly_one_sheet(name: str) -> None:
    plan = plan_of(name)
    drawn = sorted(
        (sheet["tape"], hole["row"], hole["track"])
        for sheet in plan["sheets"]
        for hole in sheet["holes"]
        if not hole["again"]
    )
    punched = sorted((tape["id"], h["row"], h["track"]) for tape in plan["tapes"] for h in tape["holes"])
    assert drawn == punched


@pytest.mark.parametrize("name", ALL)
def test_the_days_go_from_the_first_term_to_a_week_after_the_last_ring(name: str) -> None:
    verified = compiled(name).verified
    assert verified is not None
    days = [datetime.fromisoformat(day["date"]) for day in plan_of(name)["days"]]
    assert days[0].date() == verified.calendar.days[0].day
    assert (days[-1].date() - verified.calendar.rings[-1].at.date()).days == 7
    assert [(b - a).days for a, b in pairwise(days)] == [1] * (len(days) - 1)


def test_without_a_machine_a_plan_has_days_and_no_tape() -> None:
    text = (SAMPLES / "saltmarsh.chime").read_text(encoding="utf-8").replace('use "hall-machine.chime"', "")
    made = compile_programme("saltmarsh.chime", text.encode(), lambda inner: (SAMPLES / inner).read_bytes())
    plan = json.loads(made.artefacts[-1].content)
    jsonschema.Draft202012Validator(schema()).validate(plan)
    assert (plan["machine"], plan["tapes"], plan["duties"]) == (None, [], [])
    assert {day["tape"] for day in plan["days"]} == {None}


def test_a_machine_that_says_no_place_of_its_tracks_lists_those_that_are_wired() -> None:
    text = (SAMPLES / "saltmarsh.chime").read_text(encoding="utf-8")
    bare = text.replace(
        'use "hall-machine.chime"', "machine bare\n  loop 24 h in rows of 1 min\n  switches each zone"
    )
    plan = json.loads(
        compile_programme("saltmarsh.chime", bare.encode(), lambda _: b"").artefacts[-1].content
    )
    jsonschema.Draft202012Validator(schema()).validate(plan)
    assert [track["across_nm"] for track in plan["machine"]["tracks"]] == [None] * 4
    assert len(play(plan)) == 2053  # the rings of the sample


# ------------------------------------------------------------ the letters of tapes

LETTERED = """programme "Ferry House"
  place  Europe/London
  issue  1 on 2026-08-20
zone pier on track 1
signal horn  6 s within 2 s
timetable one in pier
  ring FIRST  horn
timetable two in pier
  ring SECOND  horn
week ordinary
  Mon to Thu  one
  Fri         two
  Sat, Sun    silent
term "Winter"  2026-11-02 to 2026-11-13
machine pier-clock
  loop  24 h in rows of 1 min
"""


def lettered(first: str, second: str, before: bytes | None = None) -> tuple[dict[str, list[str]], bytes]:
    """The times of each tape by its letter, and the plan."""
    text = LETTERED.replace("FIRST", first).replace("SECOND", second)
    made = compile_programme("ferry.chime", text.encode(), lambda _: b"", plan=before)
    plan = made.artefacts[-1].content
    tapes = json.loads(plan)["tapes"]
    return {tape["id"]: [time for hole in tape["holes"] for time in hole["times"]] for tape in tapes}, plan


def test_a_tape_with_the_same_holes_keeps_its_letter_and_no_letter_is_given_again() -> None:
    at_first, plan = lettered("07:00, 12:00, 18:00", "07:00, 12:00, 16:00, 17:00")
    assert at_first == {"A": ["07:00", "12:00", "18:00"], "B": ["07:00", "12:00", "16:00", "17:00"]}
    # The first day changes, the second does not.
    then, plan = lettered("07:00, 12:00, 19:00", "07:00, 12:00, 16:00, 17:00", plan)
    assert then == {"B": ["07:00", "12:00", "16:00", "17:00"], "C": ["07:00", "12:00", "19:00"]}
    assert [tape["id"] for tape in json.loads(plan)["retired"]] == ["A"]
    # A third is new, and what was A once comes back.
    later, plan = lettered("07:00, 12:00, 18:00", "07:30, 12:00, 15:00, 17:00", plan)
    assert later == {"A": ["07:00", "12:00", "18:00"], "D": ["07:30", "12:00", "15:00", "17:00"]}
    assert [tape["id"] for tape in json.loads(plan)["retired"]] == ["B", "C"]
    jsonschema.Draft202012Validator(schema()).validate(json.loads(plan))


@pytest.mark.parametrize(
    "before", [b"", b"[]", b"{}", b'{"format": "chime-plan/1", "tapes": 3}', b"[" * 100_000, b"\xff"]
)
def test_what_is_no_plan_of_ours_gives_no_letters(before: bytes) -> None:
    assert lettered("07:00, 12:00", "09:00, 17:00", before) == lettered("07:00, 12:00", "09:00, 17:00")


def test_every_line_that_a_plan_names_is_a_line_of_the_programme() -> None:
    lines = (SAMPLES / "saltmarsh.chime").read_text(encoding="utf-8").splitlines()
    for tape in plan_of("saltmarsh")["tapes"]:
        for hole in tape["holes"]:
            for place in hole["because"]:
                name, _, line = place.rpartition(":")
                assert name == "saltmarsh.chime"
                assert (
                    lines[int(line) - 1].split()[0] in ("ring", "add", "period", "every")
                    or "add" in lines[int(line) - 1]
                )
