"""What the stages hand on is frozen: a stage may keep what it was given, for nobody can change it later.

Every class of the package is looked at, so a new one must be a record or be named here with a reason.
"""

import copy
import dataclasses
import pickle
import sys
import typing
from collections import Counter, defaultdict, deque
from collections.abc import Callable, Iterator, MutableMapping, MutableSequence, MutableSet
from enum import Enum
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from typing import Any, NamedTuple, Protocol

import pytest

import chime
from chime import records
from chime.compiler import lay_open
from chime.diagnostics import Source, is_error
from chime.file_access import Unreadable
from chime.parsing import parse
from tests.compiling import said

ROOT = Path(__file__).resolve().parent.parent

NO_RECORDS = {
    "chime.records.NamedTuple": "what records are made of",
    "chime.records._Record": "makes the classes of records",
    "chime.begin.pasted_times._Names": "makes names and remembers those it has given",
    "chime.cli._Commands": "a group of commands is a class of click's",
    "chime.cli.completing.Folder": "a kind of path is a class of click's",
    "chime.diagnostics.source.Source": "known by what it is, not by its text, and finds its lines when asked",
    "chime.parsing.files._Reader": "reads files one after the other, and keeps what it found",
    "chime.parsing.mend._Taken": "the stretches that are taken grow with each repair",
    "chime.parsing.parser._FileReader": "reads lines one after the other, and keeps what it found",
    "chime.parsing.parser._OpenBlock": "a block while its lines are being read; it becomes a Block",
    "chime.parsing.tidy._Sheet": "reads and writes one file",
    "chime.parsing.typed_search._Search": "counts its attempts",
    "chime.parsing.words.WholeWords": "a lexer is a class of lark's",
    "chime.planning.sharing._Parting": "keeps the cheapest ways that it found",
    "chime.planning.search.Search": "keeps the best plan that it found",
    "chime.planning.term._Sharing": "keeps the best plan that it found",
    "chime.programme.head._HeadReader": "reads blocks, and keeps what it found",
    "chime.programme.lost_days._Calendar": "looks dates up; changes nothing once it is made",
    "chime.programme.names.Names": "resolves names, and keeps the faults it found",
    "chime.programme.patterns._TermReader": "reads blocks, and keeps what it found",
    "chime.programme.places.Places": "looks errors up by their place; changes nothing once it is made",
    "chime.programme.special_days._SpecialDaysReader": "reads blocks, and keeps what it found",
    "chime.programme.timetables._Heading": "gathered from all timetables before any of their lines is read",
    "chime.programme.timetables._TimetableReader": "reads blocks, and keeps what it found",
    "chime.programme.unsure._Terms": "looks terms up; changes nothing once it is made",
    "chime.rings.changes._Changer": "notes what happens to each mark before it writes them",
    "chime.rings.days._DayMaker": "works through the dates, and keeps what it found",
    "chime.rings.expand._Expander": "works through the dates, and keeps what it found",
    "chime.rings.explain._Explainer": "looks things up in a compile; changes nothing once it is made",
    "chime.rings.timetables._Resolver": "works timetables out, and keeps those it has",
    "chime.writers.term_text._Page": "writes what stands below the weeks; changes nothing once it is made",
    "chime.writers.term_weeks._Table": "writes one term; changes nothing once it is made",
    "chime.writers.times_text._Day": "writes one timetable; changes nothing once it is made",
    "chime.writers.why_day_text._Told": "writes the story of a date; changes nothing once it is made",
    "chime.writers.why_text._Told": "writes the story of a zone; changes nothing once it is made",
    "chime.writers.why_words.Words": "puts lines, days and rings in words; changes nothing once it is made",
}
"""Classes that do work, by full name, and why they are no records. None of them leaves its stage, but for
the text of a file, of which nothing that can be seen ever changes."""

MAY_CHANGE = {
    "chime.diagnostics.long_form._Attempt.changes": "made and used up in one module",
    "chime.programme.calendar_entries.Entry.properties": "an entry is filled line by line; no stage hands it on",
    "chime.programme.calendar_entries.Entry.faults": "as above",
    "chime.programme.machine_values.Reading.faults": "where a reader of machine lines puts what it finds",
    "chime.rings.coverage.Coverage.by_date": "an index inside the stage, filled before anybody reads it",
    "chime.rings.coverage.Coverage.by_term": "as above",
    "chime.rings.days.Days.made": "as above",
    "chime.rings.days.Days.useful": "windows of silence are settled after the days, and count as useful then",
    "chime.rings.patterns._Numbers.given": "made and used up in one module",
}
"""Fields that can be changed in place, and why."""

CHANGEABLE = (
    *(list, dict, set, bytearray, Counter, defaultdict, deque),
    *(MutableMapping, MutableSequence, MutableSet),
)

NOUNS = ("model", "tree", "equipment", "day_model", "diagnostic", "code", "source")
"""Modules that hold what one stage hands to the next; no record of theirs is excused."""


def classes() -> dict[str, type]:
    """Every class of the package by its full name."""
    names = [
        found.name for found in walk_packages(chime.__path__, "chime.") if found.name != "chime.__main__"
    ]
    return {
        f"{name}.{cls.__qualname__}": cls
        for name in names
        for cls in vars(import_module(name)).values()
        if isinstance(cls, type) and cls.__module__ == name
    }


CLASSES = classes()


def is_record(cls: type) -> bool:
    """Say whether no value of a class can be changed: a named tuple or a frozen dataclass."""
    if dataclasses.is_dataclass(cls):
        return bool(cls.__dataclass_params__.frozen)  # type: ignore[attr-defined]
    # A class derived from a named tuple has room for more, unless it says that it has none.
    return issubclass(cls, tuple) and hasattr(cls, "_fields") and cls.__dictoffset__ == 0


def is_something_else(cls: type) -> bool:
    """Say whether a class is of a kind that is no record by nature."""
    return issubclass(cls, BaseException | Enum) or Protocol in cls.__bases__


def parts_of(annotation: Any) -> Iterator[Any]:
    """Yield a type and every type inside it; what a function takes is no part of the function."""
    yield typing.get_origin(annotation) or annotation
    if typing.get_origin(annotation) is not Callable:
        for part in typing.get_args(annotation):
            yield from parts_of(part)


def changeable_fields(cls: type) -> list[str]:
    """The fields of a record that hold what can be changed."""
    known = {other.__name__: other for other in CLASSES.values()}  # for what is imported for its type only
    hints = typing.get_type_hints(cls, localns={**known, **vars(import_module(cls.__module__))})
    return [name for name, hint in hints.items() if any(part in CHANGEABLE for part in parts_of(hint))]


RECORDS = {name: cls for name, cls in CLASSES.items() if is_record(cls)}


def test_every_class_is_a_record_or_has_a_reason() -> None:
    others = {name for name, cls in CLASSES.items() if name not in RECORDS and not is_something_else(cls)}
    assert others - set(NO_RECORDS) == set()
    assert set(NO_RECORDS) - others == set(), "these reasons are no longer wanted"
    assert len(RECORDS) > 150


def test_no_record_has_a_field_that_can_be_changed() -> None:
    found = {f"{name}.{field}" for name, cls in RECORDS.items() for field in changeable_fields(cls)}
    assert found - set(MAY_CHANGE) == set()
    assert set(MAY_CHANGE) - found == set(), "these reasons are no longer wanted"


def test_what_a_stage_hands_to_the_next_is_excused_from_nothing() -> None:
    assert not [name for name in MAY_CHANGE if name.split(".")[-3] in NOUNS]
    worked = [name for name in NO_RECORDS if name.split(".")[-2] in NOUNS]
    assert worked == ["chime.diagnostics.source.Source"]


# -------------------------------------------------------------------- the values themselves


def inside(value: object, path: str = "") -> Iterator[tuple[str, object]]:
    """Yield a value and every value in it, with the names of the fields that lead there."""
    yield path, value
    if isinstance(value, Source):
        return
    if isinstance(value, tuple | frozenset):
        fields = getattr(value, "_fields", None) or ["[]"] * len(value)
        for name, part in zip(fields, value, strict=True):
            yield from inside(part, f"{path}.{name}")


def changeable_parts(value: object) -> set[str]:
    """Where in a value something can be changed; a type may promise a tuple and be given a list."""
    fixed = (str, bytes, int, float, type(None), tuple, frozenset, Source)
    return {
        f"{path}: {type(part).__name__}"
        for path, part in inside(value)
        if not isinstance(part, fixed) and type(part).__module__ != "datetime"
    }


@pytest.mark.parametrize("name", ["guest-house", "observatory", "ondermarch", "playhouse", "ropeworks"])
def test_nothing_that_was_compiled_can_be_changed(name: str) -> None:
    path = ROOT / "programmes" / f"{name}.chime"

    def read_file(inner: str) -> bytes | Unreadable:
        return (path.parent / inner).read_bytes()

    parsed = parse(path.name, path.read_bytes(), read_file)
    assert changeable_parts(parsed.document) == set()
    proven = lay_open(path.name, path.read_bytes(), read_file)
    assert proven.verified is not None
    assert proven.verified.tapes is not None
    assert changeable_parts(proven.verified) == set()


def test_no_complaint_can_be_changed() -> None:
    path = ROOT / "programmes" / "guest-house.chime"
    text = path.read_text(encoding="utf-8").replace("ring", "rign", 3).replace("silent", "slient", 1)
    proven = lay_open(path.name, text.encode(), lambda inner: (path.parent / inner).read_bytes())
    assert is_error(proven.diagnostics), said(proven.diagnostics)
    assert changeable_parts(proven.diagnostics) == set()


# ------------------------------------------------------------------------ the tests' own


class _Sound(NamedTuple):
    times: tuple[int, ...]


class _Grown(_Sound):
    """Takes any attribute."""


class _WithList(NamedTuple):
    times: tuple[list[int], ...] | None
    work: Callable[[list[int]], None]


@dataclasses.dataclass(frozen=True)
class _Frozen:
    times: tuple[int, ...]


@dataclasses.dataclass
class _Thawed:
    times: tuple[int, ...]


def test_a_class_that_can_be_changed_is_seen() -> None:
    judged = {cls: is_record(cls) for cls in (_Sound, _Grown, _WithList, _Frozen, _Thawed, Source)}
    assert [cls for cls, is_one in judged.items() if is_one] == [_Sound, _WithList, _Frozen]
    assert not any(map(is_something_else, judged))


def test_a_field_that_can_be_changed_is_seen() -> None:
    assert changeable_fields(_Sound) == []
    assert changeable_fields(_WithList) == ["times"]


def test_a_value_that_can_be_changed_is_seen() -> None:
    assert changeable_parts(_Sound((1, 2))) == set()
    assert changeable_parts((_Sound([1]), "a")) == {".[].times: list"}  # type: ignore[arg-type]


# ------------------------------------------------------------------------ how records are made


class _Plain(NamedTuple):
    first: int
    second: tuple[int, ...] = ()
    third: str = "x"

    @property
    def doubled(self) -> int:
        return self.first * 2


class _Ours(records.NamedTuple):
    first: int
    second: tuple[int, ...] = ()
    third: str = "x"

    @property
    def doubled(self) -> int:
        return self.first * 2


def told(work: Callable[[Any], object], cls: type) -> object:
    """What some work gives for a class of records, or how it fails; the names of the two classes are alike."""
    try:
        return str(work(cls)).replace("_Ours", "_Plain")
    except (TypeError, ValueError, AttributeError, IndexError) as error:
        return str(error).replace("_Ours", "_Plain")


WORKS: dict[str, Callable[[Any], object]] = {
    "made by place": lambda cls: cls(1, (2,), "y"),
    "made by name": lambda cls: cls(third="y", first=1),
    "too few": lambda cls: cls(),
    "too many": lambda cls: cls(1, (), "y", 4),
    "unknown name": lambda cls: cls(1, fourth=2),
    "fields": lambda cls: (
        cls._fields,
        cls._field_defaults,
        cls.__match_args__,
        cls.__name__,
        cls.__module__,
    ),
    "read": lambda cls: (cls(1).first, cls(1).third, cls(1).doubled, cls(1)[0], cls(1)[-1]),
    "read past the end": lambda cls: cls(1)[3],
    "set": lambda cls: setattr(cls(1), "first", 2),
    "set what is not there": lambda cls: setattr(cls(1), "fourth", 2),
    "replaced": lambda cls: cls(1)._replace(third="z", first=5),
    "replaced what is not there": lambda cls: cls(1)._replace(fourth=5),
    "as a dictionary": lambda cls: cls(1)._asdict(),
    "from values": lambda cls: cls._make([1, (), "w"]),
    "like a tuple": lambda cls: (cls(1) == (1, (), "x"), hash(cls(1)) == hash((1, (), "x")), *cls(1)),
    "ordered": lambda cls: sorted([cls(3), cls(1), cls(2)]),
    "copied": lambda cls: (copy.copy(cls(1)), copy.deepcopy(cls(1))),
    "pickled": lambda cls: pickle.loads(pickle.dumps(cls(1))),  # noqa: S301
    "what it is": lambda cls: (issubclass(cls, tuple), cls.__dictoffset__, list(cls.__annotations__)),
}
"""What people do with records."""


@pytest.mark.parametrize("work", WORKS.values(), ids=WORKS)
def test_a_record_does_what_the_libraries_named_tuple_does(work: Callable[[Any], object]) -> None:
    # Source: `typing.NamedTuple` of the Python standard library, run beside it.
    assert told(work, _Ours) == told(work, _Plain)


def test_a_record_is_taken_apart_by_its_fields() -> None:
    match _Ours(1, (2,)):
        case _Ours(first, third=third):
            assert (first, third) == (1, "x")
        case _:
            pytest.fail("it did not match")


@pytest.mark.skipif(sys.version_info >= (3, 14), reason="the library's own is used from there on")
def test_records_that_cannot_be_made_are_refused() -> None:
    make: Any = type(records.NamedTuple)
    wide = {"__annotations__": dict.fromkeys(map("f{}".format, range(41)), int), "__module__": "m"}
    with pytest.raises(TypeError, match="over 40 fields"):
        make("Wide", (), wide)
    mixed = {"__annotations__": {"a": int, "b": int}, "a": 1, "__module__": "m"}
    with pytest.raises(TypeError, match="without a default"):
        make("Mixed", (), mixed)
