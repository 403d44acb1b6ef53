"""A part of the chart: some tapes, sheets of some rows, all sheets, other paper; and the index of the sheets."""

from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from chime.cli import group
from chime.verify.model import Verdict, Verified
from chime.writers.chart import write
from chime.writers.chart_choice import refuse_choice
from chime.writers.model import ChartChoice, PaperName
from tests import tape_factory as made
from tests.test_chart import college, read_pages, school, works

PROGRAMME = Path(__file__).resolve().parent.parent / "programmes" / "observatory.chime"


def sheets_of(known: Verified, choice: ChartChoice) -> list[tuple[str, int, int]]:
    return [(sheet.tape, sheet.first_row, sheet.last_row) for sheet in write(known, choice).sheets]


@cache
def cover_of(choice: ChartChoice) -> str:
    return read_pages(write(school(), choice).artefact.content)[0].text


# ------------------------------------------------------------------------ the index


@pytest.mark.parametrize("known", [school, college, works])
def test_every_hole_is_on_one_sheet_and_each_page_is_the_sheets_own(known: object) -> None:
    verified = known()  # type: ignore[operator]
    chart = write(verified)
    assert verified.tapes is not None
    placed = [(s.tape, hole.row, hole.track) for s in chart.sheets for hole in s.holes if not hole.again]
    wanted = [(tape.id, hole.row, hole.track) for tape in verified.tapes.tapes for hole in tape.holes]
    assert sorted(placed) == sorted(wanted)
    pages = read_pages(chart.artefact.content)
    counted: dict[str, int] = {}
    for sheet in chart.sheets:
        counted[sheet.tape] = counted.get(sheet.tape, 0) + 1
        assert f"tape {sheet.tape}sheet {counted[sheet.tape]} of " in pages[sheet.page - 1].text
    assert len({sheet.page for sheet in chart.sheets}) == len(chart.sheets)


def test_the_index_gives_places_in_nanometres_from_the_top_left() -> None:
    sheet = next(s for s in write(works()).sheets if s.holes)
    hole = sheet.holes[0]
    # Tracks lie at 8 mm from the guided edge, and that 48 mm from the paper's left; the first row's middle lies half
    # of 4.75 mm below 58 mm. The slot is 2.4 mm long and 1.6 mm wide.
    assert hole.x_nm == 56_000_000
    assert hole.y_nm == 58_000_000 + (hole.row - sheet.first_row) * 4_750_000 + 2_375_000
    assert (hole.along_nm, hole.across_nm) == (2_400_000, 1_600_000)


def test_the_page_is_that_of_the_finished_file_however_long_the_first_pages_are() -> None:
    known = school()
    short = write(known).sheets[0].page
    many = tuple(Verdict(f"Sentence {n}, of which nobody can say.", "cannot say", ()) for n in range(80))
    longer = known._replace(verdicts=many)
    chart = write(longer)
    assert chart.sheets[0].page > short
    text = read_pages(chart.artefact.content)[chart.sheets[0].page - 1].text
    assert "tape Asheet 1 of " in text


def test_where_nothing_can_be_drawn_the_index_is_empty() -> None:
    machine = made.day_machine()._replace(pitch=None)
    rings = [made.ring("2026-09-07 08:45", "main")]
    assert write(made.verified([made.zone("main", 1)], machine, rings)).sheets == ()
    assert write(made.verified([made.zone("main", 1)], None, rings)).sheets == ()


# ------------------------------------------------------------------------- the choice


def test_only_the_tapes_that_are_named_are_printed() -> None:
    whole, one = sheets_of(school(), ChartChoice()), sheets_of(school(), ChartChoice(tapes=("B",)))
    assert one == [sheet for sheet in whole if sheet[0] == "B"]
    assert 0 < len(one) < len(whole)
    text = "".join(p.text for p in read_pages(write(school(), ChartChoice(tapes=("B",))).artefact.content))
    assert "Tape B: list to punch by" in text
    assert "Tape A" not in text
    assert "Only tape B of tapes A and B." in text
    # The rota keeps to the tapes that are printed.
    assert "☐ B  Fri 2026-09-11" in text
    assert "☐ A" not in text


def test_all_sheets_are_printed_if_that_is_wanted() -> None:
    sheets = sheets_of(school(), ChartChoice(all_sheets=True, tapes=("A",)))
    # 1440 rows, 75 on a sheet: 19 of 75 rows and one of 15; one of them is cut in two, where the strip begins.
    assert sorted(row for _, first, last in sheets for row in range(first, last + 1)) == list(range(1440))
    assert len(sheets) == 21


def test_sheets_of_some_rows_keep_their_numbers() -> None:
    choice = ChartChoice(tapes=("A",), first_row="08:00", last_row="11:00")
    chart = write(school(), choice)
    # Rows 450 to 674 hold 08:00 to 11:14 in three sheets of 75 rows; that of 09:45 to 10:59 holds a hole.
    assert [(s.first_row, s.last_row) for s in chart.sheets] == [(450, 524), (525, 599), (600, 674)]
    pages = read_pages(chart.artefact.content)
    assert ["sheet 2 of 6" in pages[s.page - 1].text for s in chart.sheets] == [True, False, False]
    assert "Only sheets with rows from 08:00 to 11:00; the lists are whole." in pages[0].text
    assert "hour from 15:00" in "".join(page.text for page in pages)


@pytest.mark.parametrize(
    ("first", "last", "rows"),
    [
        ("00:01", "00:01", [(0, 74)]),
        ("0:01", "0:01", [(0, 74)]),
        ("23:00", "00:00", [(0, 74)]),
        ("15:08", "08:30", [(0, 74), (450, 524), (900, 974), (1125, 1174)]),
        ("16:30", "17:00", []),
    ],
)
def test_rows_may_run_past_midnight(first: str, last: str, rows: list[tuple[int, int]]) -> None:
    chart = write(school(), ChartChoice(tapes=("A",), first_row=first, last_row=last))
    assert sorted((s.first_row, s.last_row) for s in chart.sheets) == rows


def test_rows_of_a_week_are_named_with_their_days() -> None:
    choice = ChartChoice(first_row="mon 06:00", last_row="Mon  14:00")
    assert refuse_choice(choice, works()) is None
    # Rows 72 to 168, a sheet for each 36 rows; those from row 108 on hold no hole.
    assert {first for _, first, _ in sheets_of(works(), choice)} == {72, 144}


@pytest.mark.parametrize(
    ("choice", "said"),
    [
        (ChartChoice(tapes=("C",)), 'there is no tape "C"; the tapes are A and B'),
        (ChartChoice(tapes=("A", "a")), 'there is no tape "a"; the tapes are A and B'),
        (
            ChartChoice(first_row="08:00", last_row="24:00"),
            'no row has the label "24:00"; the labels are 00:00, 00:01 and so on to 23:59',
        ),
        (
            ChartChoice(first_row="Mon 08:00", last_row="16:00"),
            'no row has the label "Mon 08:00"; the labels are 00:00, 00:01 and so on to 23:59',
        ),
        (ChartChoice("a3", True, ("B", "A"), "08:00", "16:00"), None),
        (ChartChoice(), None),
    ],
)
def test_a_part_that_does_not_exist_is_refused_in_words(choice: ChartChoice, said: str | None) -> None:
    assert refuse_choice(choice, school()) == said


def test_a_part_of_no_tape_is_refused() -> None:
    rings = [made.ring("2026-09-07 08:45", "main")]
    without = made.verified([made.zone("main", 1)], None, rings)
    assert refuse_choice(ChartChoice("a3", all_sheets=True), without) is None
    for choice in (ChartChoice(tapes=("A",)), ChartChoice(first_row="08:00", last_row="09:00")):
        assert (
            refuse_choice(choice, without) == "there is no tape, so there is no part of its chart to choose"
        )
    one = made.verified([made.zone("main", 1)], made.day_machine(), rings)
    assert refuse_choice(ChartChoice(tapes=("B",)), one) == 'there is no tape "B"; the only tape is A'


def test_the_cover_says_nothing_of_parts_where_all_is_printed() -> None:
    assert "Only " not in cover_of(ChartChoice())


# Rows on a sheet: as many as the paper has room for, less 58 mm above the tape and 48 mm below it, in whole quarters
# of an hour. A4 191 mm, letter 173.4 mm, A3 314 mm, tabloid 325.8 mm of rows of 2.54 mm.
@pytest.mark.parametrize(("paper", "rows"), [("a4", 75), ("letter", 60), ("a3", 120), ("tabloid", 120)])
def test_larger_paper_shows_more_rows(paper: PaperName, rows: int) -> None:
    sheets = sheets_of(school(), ChartChoice(paper, all_sheets=True, tapes=("A",)))
    assert max(last - first + 1 for _, first, last in sheets) == rows


# ----------------------------------------------------------------- on the command line


def run(out: Path, *options: str) -> tuple[int, str]:
    result = CliRunner().invoke(group, ["compile", str(PROGRAMME), "--out", str(out), *options])
    return result.exit_code, result.stderr


def test_the_command_takes_the_choice(tmp_path: Path) -> None:
    status, _ = run(tmp_path, "--tape", "A", "--rows", "06:00-07:00", "--paper", "letter")
    assert status == 0
    pages = read_pages((tmp_path / "chart.pdf").read_bytes())
    assert "Only tape A of tapes A and B" in pages[0].text
    assert "Only sheets with rows from 06:00 to 07:00" in pages[0].text
    assert pages[0].width == pytest.approx(215.9, abs=0.01)
    # Of a tape that is not shown only the duties speak: what it takes the place of.
    assert not any("Tape B:" in page.text or "tape B page" in page.text for page in pages)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--tape", "Q"), 'there is no tape "Q"; the tapes are A and B'),
        (("--rows", "13:00-14:00"), 'no row has the label "13:00"; the labels are 00:00, 00:01'),
        (("--rows", "08:00"), "--rows is two printed labels with a hyphen between them, such as 08:00-16:00"),
        (("--rows", "-16:00"), "--rows is two printed labels"),
    ],
)
def test_a_part_that_does_not_exist_is_a_misuse(tmp_path: Path, options: tuple[str, ...], said: str) -> None:
    out = tmp_path / "out"
    status, errors = run(out, *options)
    assert status == 2
    assert said in errors
    assert not out.exists()


def test_faults_of_the_programme_come_first(tmp_path: Path) -> None:
    broken = tmp_path / "broken.chime"
    broken.write_text('programme "Broken"\n')
    result = CliRunner().invoke(
        group, ["compile", str(broken), "--out", str(tmp_path / "out"), "--tape", "Q"]
    )
    assert result.exit_code == 1
