"""What looks like a slip and is none, what needs the rest of the file, and that the search has an end."""

import re
from importlib.resources import files
from pathlib import Path

import holidays
import pytest

from chime.diagnostics import Code, Source
from chime.diagnostics.edits import apply
from chime.parsing import typed_faults, typed_search
from chime.parsing.lines import LONGEST_LINE
from chime.parsing.parser import read_blocks
from chime.parsing.surroundings import HOLIDAY_CODES
from chime.parsing.typed_line import Pieces
from chime.parsing.typed_spot import Spot
from tests.typed_lines import BEFORE, fault_in, faults_in, in_file, last_line, last_node, words_in
from tests.typed_rows import ROWS

SAMPLES = sorted(Path(__file__).parent.glob("samples/*.chime"))


# ---------------------------------------------------------- labels and traps


@pytest.mark.parametrize(
    "label",
    [
        '"8:45 – 9:45"',
        '"Monday and Tuesday"',
        '"Mon-Fri, 10 mins ± 2"',
        '"the “new” hall"',
        '"hard\u00a0space"',
        '"26/10/2026"',
        '"Two minutes\' silence"',
    ],
)
def test_what_stands_in_quotes_is_never_touched(label: str) -> None:
    source = in_file("timetable", f"ring 8:40 lesson in main and junior {label}")
    found = read_blocks(source).diagnostics
    assert [fault.code.id for fault in found] == ["S215", "S229"]
    edits = [edit for fault in found for edit in fault.suggestions[0].edits]
    assert last_line("timetable", apply(source, edits)) == f"ring 08:40 lesson in main, junior {label}"


@pytest.mark.parametrize(
    "zone", ["indoor", "infirmary", "interval", "Frisbee", "Monty", "day1", "weekly", "untidy"]
)
def test_a_name_that_begins_like_a_word_is_a_name(zone: str) -> None:
    line = f"ring 08:40 lesson in {zone}"
    read = read_blocks(in_file("timetable", line))
    assert read.diagnostics == ()
    assert list(words_in(last_node(read, "timetable")))[-1].text == zone


@pytest.mark.parametrize("zone", ["inmain", "indoor", "infirmary", "interval", "Frisbee", "Monty"])
def test_a_name_is_never_split_into_a_word_and_a_name(zone: str) -> None:
    (fault,) = faults_in("timetable", f"ring 08:40 lesson {zone}")
    assert fault.primary is not None
    assert fault.primary.span.text == zone
    assert all(zone in offer.text for offer in fault.suggestions)
    if zone.startswith("in"):
        assert [offer.certainty for offer in fault.suggestions] == ["guess"]


@pytest.mark.parametrize(
    ("block", "line", "code"),
    [
        ("week", "Frisbee normal", "S203"),
        ("week", "Monty normal", "S203"),
        ("week", "Monnormal", "S203"),
        ("cycle", "day1 normal", "S203"),
        ("opener", "weekly", "S204"),
        ("opener", "signal lesson 6 swithin 1 s", "S201"),
        ("opener", "signal bell 6 seconds_long within 2 s", "S201"),
        ("timetable", "bell 08:40 lesson", "S203"),
    ],
)
def test_a_run_of_letters_is_refused_whole(block: str, line: str, code: str) -> None:
    (fault,) = faults_in(block, line)
    assert fault.code.id == code
    assert "sure" not in {offer.certainty for offer in fault.suggestions}


@pytest.mark.parametrize(
    ("block", "line"),
    [
        ("opener", "signal lesson 6s within 1.5s"),
        ("machine", "row 2.54mm"),
        ("timetable", 'period "1" 08:45-09:45'),
        ("opener", "supply bells 24V 5A"),
        ("timetable", "periods 2 to 4 of 50m from 09:50"),
        ("machine", "reads 1 row ahead"),
        ("exceptions", "2026-10-02 silent everywhere"),
        ("exceptions", "2026-10-02 closed"),
        ("week", "Sat, Sun off"),
        ("opener", "zone main on tracks 3 and 4"),
        ("week", "Fri Monday"),
    ],
)
def test_what_can_be_read_is_no_fault_of_form(block: str, line: str) -> None:
    assert faults_in(block, line) == ()


@pytest.mark.parametrize("day", ["31 Feb 2026", "2026/13/01", "2026-2-30"])
def test_a_date_that_does_not_exist_is_not_offered(day: str) -> None:
    (fault,) = faults_in("exceptions", f"{day} silent")
    assert fault.suggestions == ()


@pytest.mark.parametrize("time", ["8:75", "08.75", "0875", "4845", "13am"])
def test_a_time_that_does_not_exist_is_not_offered(time: str) -> None:
    offers = [offer for fault in faults_in("timetable", f"ring {time} lesson") for offer in fault.suggestions]
    assert offers == []


# -------------------------------------------------------- the rest of a file


def test_every_without_dates_offers_each_term_of_the_file() -> None:
    text = BEFORE + 'term "Spring" Tue 2027-01-05 to 2027-03-25\nexceptions\n  every Wed silent'
    (fault,) = read_blocks(Source("typed.chime", text)).diagnostics
    assert [offer.text for offer in fault.suggestions] == [
        "every Wed from 2026-09-07 to 2026-12-18",
        "every Wed from 2027-01-05 to 2027-03-25",
    ]


def test_every_without_dates_offers_nothing_where_no_term_is_known() -> None:
    (fault,) = read_blocks(Source("typed.chime", "exceptions\n  every Wed silent")).diagnostics
    assert (fault.code.id, fault.suggestions) == ("S237", ())


def test_public_holidays_offer_nothing_where_no_place_is_known() -> None:
    (fault,) = read_blocks(Source("typed.chime", "exceptions\n  public holidays silent")).diagnostics
    assert (fault.code.id, fault.suggestions) == ("S239", ())
    assert "GB-ENG" in fault.why


def test_the_holiday_code_of_a_place_is_one_of_its_country() -> None:
    # The country of each place is that of the IANA time zone data (zone.tab, as packaged in tzdata).
    rows = (files("tzdata") / "zoneinfo" / "zone.tab").read_text(encoding="utf-8").splitlines()
    country = {line.split("\t")[2]: line.split("\t")[0] for line in rows if not line.startswith("#")}
    assert {place: code[:2] for place, code in HOLIDAY_CODES.items()} == {
        place: country[place] for place in HOLIDAY_CODES
    }


def test_every_offered_holiday_code_is_known_to_the_holidays_library() -> None:
    known = holidays.list_supported_countries(include_aliases=False)
    for code in set(HOLIDAY_CODES.values()):
        country, _, part = code.partition("-")
        assert country in known
        assert not part or part in known[country]


# ------------------------------------------------------------- bounds and words


PATTERNS = {
    "single quotes": ("exceptions", "2026-10-02 silent ", "'a ", ""),
    "only single quotes": ("exceptions", "2026-10-02 silent ", "'", ""),
    "curly quotes": ("exceptions", "2026-10-02 silent ", "“", ""),
    "figures": ("timetable", "ring ", "1", " lesson"),
    "commas": ("timetable", "ring ", "1,", "1 lesson"),
    "inch signs": ("machine", "tracks at ", '1" ', ""),
    "months": ("exceptions", "", "26 Oct ", ""),
    "dates": ("exceptions", "", "26/10/2026, ", "2026-10-02 silent"),
    "dashes": ("exceptions", "2026-10-02", " – ", ""),
    "hyphens": ("week", "a", "-a", " normal"),
    "capitals": ("timetable", "ring 08:40 lesson in main", " Ab", ""),
    "small words": ("timetable", "ring 08:40 lesson in main", " ab", ""),
    "marks": ("week", "Mon", ":", " normal"),
    "hard spaces": ("week", "Mon", "\u00a0", "normal"),
}


@pytest.mark.parametrize("name", PATTERNS)
def test_a_line_of_the_greatest_length_takes_few_attempts(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    block, begin, middle, end = PATTERNS[name]
    line = begin + middle * ((LONGEST_LINE - 40 - len(begin + end)) // len(middle)) + end
    attempts = []
    hold_against_the_grammar = typed_search._Search._misfit

    def count(search: typed_search._Search, pieces: Pieces) -> Spot | None:
        attempts.append(pieces)
        return hold_against_the_grammar(search, pieces)

    monkeypatch.setattr(typed_search._Search, "_misfit", count)
    assert faults_in(block, line)
    assert 0 < len(attempts) <= typed_search.MOST_ATTEMPTS


def test_a_long_list_with_one_kind_of_mistake_is_read() -> None:
    times = ", ".join(["8.45"] * 1500)
    (fault,) = faults_in("timetable", f"ring {times} lesson")
    assert len(fault.suggestions[0].edits) == 1500
    assert len(fault.headline) < 100


MUTATIONS = (
    (":", "."), (":", ""), (" - ", " – "), (" - ", " to "), (", ", " and "), (", ", " "), (", ", ","),
    (" in ", " "), (" to ", " - "), (" ", "\u00a0"), (" min", " minutes"), (" mm", ""), (" within ", " ± "),
    ('"', "”"), ('"', "'"), ("2026-", "26/"), ("Mon", "Monday"), (" of ", " "), (" at ", " "), ("each", ""),
    ("silent", "no bells"), ("a", "A"),
)  # fmt: skip


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_file_with_one_slip_anywhere_is_read_with_every_place_inside_it(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for right, wrong in MUTATIONS:
        for at in [match.start() for match in re.finditer(re.escape(right), text)][:40]:
            source = Source(path.name, text[:at] + wrong + text[at + len(right) :])
            read = read_blocks(source)
            for fault in read.diagnostics:
                for span in [label.span for label in fault.labels] + [
                    edit.span for offer in fault.suggestions for edit in offer.edits
                ]:
                    assert 0 <= span.start <= span.end <= len(source.text)
            for block in read.blocks:
                for node in block.lines:
                    assert 0 <= node.span.start <= node.span.end <= len(source.text)


@pytest.mark.parametrize("code", typed_faults.CODES, ids=lambda code: code.id)
def test_the_example_of_a_code_gives_that_code_and_its_right_form_none(code: Code) -> None:
    file = Source("example.chime", code.wrong)
    assert [fault.code for fault in read_blocks(file).diagnostics] == [code]
    assert read_blocks(Source("example.chime", code.right)).diagnostics == ()


def test_codes_are_numbered_in_order_and_each_is_used_in_a_table() -> None:
    numbers = [code.id for code in typed_faults.CODES]
    # 249 stands beside them, for a label that says nothing.
    assert numbers == [f"S{number}" for number in range(211, 212 + len(numbers)) if number != 249]
    assert {typed.code for typed in ROWS} == set(numbers)


def test_faults_speak_of_bells_and_never_of_compilers() -> None:
    for typed in ROWS:
        fault = fault_in(typed)
        said = f"{fault.headline} {fault.why} {fault.code.explanation}".casefold()
        assert not re.search(r"\b(token|parse|parser|syntax|grammar|terminal|regex)\b", said)
        assert not fault.headline.endswith(".")
