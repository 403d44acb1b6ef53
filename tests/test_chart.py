"""The hole chart, read back from the pages themselves: what is black, where, and which words stand there."""

import re
from collections import Counter
from functools import cache
from io import BytesIO
from typing import Any, NamedTuple

import pikepdf
import pytest

from chime.programme.equipment import DayWheel
from chime.tape.model import Hole, Tape
from chime.verify.model import Verified
from chime.writers.chart import write
from chime.writers.chart_lettering import shorten
from chime.writers.chart_sheets import PAPERS, Piece, Shape, cut_up, read_shape, rows_per_sheet
from chime.writers.chart_strip import lay_flat
from chime.writers.model import ChartChoice
from tests import tape_factory as made

MM_PER_POINT = 25.4 / 72
"""A point of a PDF page is 1/72 in. Source: ISO 32000-1, 8.3.2.3."""

Matrix = tuple[float, float, float, float, float, float]


class Mark(NamedTuple):
    """Something filled: the middle of its box from the page's top left and its size in mm, and how light."""

    x: float
    y: float
    width: float
    height: float
    grey: float


class Page(NamedTuple):
    """A page read back: its size in mm, its words as they come, and what is filled on it."""

    width: float
    height: float
    text: str
    marks: tuple[Mark, ...]


def times(inner: Matrix, outer: Matrix) -> Matrix:
    """Concatenate two transformations. Source: ISO 32000-1, 8.3.4."""
    a, b, c, d, e, f = inner
    g, h, i, j, k, m = outer
    return a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m


def read_letters(font: Any) -> dict[bytes, str]:
    """Read which letters the codes of a font stand for. Source: ISO 32000-1, 9.10.3."""
    table = bytes(font.ToUnicode.read_bytes()).decode("latin-1")
    letters: dict[bytes, str] = {}
    for block in re.findall(r"beginbfchar(.*?)endbfchar", table, re.DOTALL):
        for code, letter in re.findall(r"<(\w+)>\s*<(\w+)>", block):
            letters[bytes.fromhex(code)] = bytes.fromhex(letter).decode("utf-16-be")
    return letters


class Reader:
    """A reader of the few operators that draw and write on these pages."""

    def __init__(self, height_pt: float) -> None:
        self.height_pt = height_pt
        self.letters: list[str] = []
        self.marks: list[Mark] = []
        self.matrix: Matrix = (1, 0, 0, 1, 0, 0)
        self.grey = 0.0
        self.saved: list[tuple[Matrix, float]] = []
        self.path: list[tuple[float, float]] = []
        self.font: dict[bytes, str] = {}

    def read(self, stream: Any, resources: Any) -> None:
        fonts = {name: read_letters(font) for name, font in dict(resources.get("/Font", {})).items()}
        for instruction in pikepdf.parse_content_stream(stream):
            assert isinstance(instruction, pikepdf.ContentStreamInstruction)
            name, given = str(instruction.operator), list(instruction.operands)
            if name == "Do":
                form = resources.XObject[given[0]]
                before = self.matrix, self.grey
                self.matrix = times(self.numbers(form.get("/Matrix", [1, 0, 0, 1, 0, 0])), self.matrix)
                self.read(form, form.Resources)
                self.matrix, self.grey = before
            elif name == "Tf":
                self.font = fonts[str(given[0])]
            else:
                self.obey(name, given)

    def numbers(self, given: Any) -> Matrix:
        a, b, c, d, e, f = (float(each) for each in given)
        return a, b, c, d, e, f

    def obey(self, name: str, given: list[Any]) -> None:
        if name == "q":
            self.saved.append((self.matrix, self.grey))
        elif name == "Q":
            self.matrix, self.grey = self.saved.pop()
        elif name == "cm":
            self.matrix = times(self.numbers(given), self.matrix)
        elif name in ("g", "scn", "sc"):
            self.grey = max(float(each) for each in given)
        elif name in ("m", "l", "c", "v", "y"):
            self.path += [(float(x), float(y)) for x, y in zip(given[::2], given[1::2], strict=True)]
        elif name == "re":
            x, y, w, h = (float(each) for each in given)
            self.path += [(x, y), (x + w, y + h)]
        elif name in ("f", "f*", "F", "n", "S", "s", "B", "B*"):
            if name in ("f", "f*", "F", "B", "B*"):
                self.fill()
            self.path = []
        elif name == "Tj":
            self.write(bytes(given[0]))
        elif name == "TJ":
            for part in given[0]:
                if isinstance(part, pikepdf.String):
                    self.write(bytes(part))

    def fill(self) -> None:
        a, b, c, d, e, f = self.matrix
        places = [(a * x + c * y + e, self.height_pt - (b * x + d * y + f)) for x, y in self.path]
        xs, ys = [x * MM_PER_POINT for x, _ in places], [y * MM_PER_POINT for _, y in places]
        left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
        middle = (left + right) / 2, (top + bottom) / 2
        self.marks.append(Mark(*middle, right - left, bottom - top, self.grey))

    def write(self, codes: bytes) -> None:
        self.letters += [self.font.get(codes[n : n + 2], "?") for n in range(0, len(codes), 2)]


def read_pages(content: bytes) -> list[Page]:
    pages: list[Page] = []
    with pikepdf.open(BytesIO(content)) as document:
        for page in document.pages:
            width_pt, height_pt = (float(each) for each in page.mediabox[2:])
            reader = Reader(height_pt)
            reader.read(page, page.Resources)
            size = width_pt * MM_PER_POINT, height_pt * MM_PER_POINT
            pages.append(Page(*size, "".join(reader.letters), tuple(reader.marks)))
    return pages


def content_of(verified: Verified) -> bytes:
    file = write(verified).artefact
    assert file.name == "chart.pdf"
    return file.content


@cache
def school() -> Verified:
    """Two zones on a 24 h loop; Fridays are another tape."""
    rings = [
        *made.every_day("2026-09-07", "2026-09-10", "08:40 08:45 10:45 15:05 23:58", "main"),
        *made.every_day("2026-09-07", "2026-09-10", "08:45 10:30", "yard"),
        *made.every_day("2026-09-11", "2026-09-11", "08:45 13:10", "main"),
    ]
    return made.verified([made.zone("main", 1), made.zone("yard", 4)], made.day_machine(), rings)


@cache
def college() -> Verified:
    rings = made.every_day("2026-01-28", "2026-01-30", "08:47 08:50 12:00 14:00", "halls")
    return made.verified([made.zone("halls", 1)], made.half_day_machine(), rings)


@cache
def works() -> Verified:
    rings = made.every_day("2027-01-04", "2027-01-08", "06:00 14:00 22:00 02:15", "shop")
    return made.verified([made.zone("shop", 1)], made.week_machine(), rings)


KNOWN = {"school": school, "college": college, "works": works}


@cache
def pages_of(name: str) -> list[Page]:
    return read_pages(content_of(KNOWN[name]()))


def shape_of(verified: Verified) -> Shape:
    assert verified.programme.machine is not None
    shape = read_shape(verified.programme.machine, PAPERS["a4"])
    assert isinstance(shape, Shape)
    return shape


def tapes_of(verified: Verified) -> tuple[Tape, ...]:
    assert verified.tapes is not None
    return verified.tapes.tapes


def pieces_of(verified: Verified, tape: Tape) -> tuple[Piece, ...]:
    assert verified.programme.machine is not None
    return cut_up(lay_flat(tape, verified.programme.machine), shape_of(verified), PAPERS["a4"])


def sheet_pages(name: str) -> list[Page]:
    return [page for page in pages_of(name) if re.search(r"sheet \d+ of \d+", page.text)]


def hole_marks(page: Page, shape: Shape) -> list[Mark]:
    return [
        mark
        for mark in page.marks
        if abs(mark.width - shape.hole_across_nm / 1e6) < 0.02
        and abs(mark.height - shape.hole_along_nm / 1e6) < 0.02
        and mark.grey == 0
    ]


# ------------------------------------------------------------- holes on the sheets


@pytest.mark.parametrize("name", sorted(KNOWN))
def test_each_hole_is_drawn_black_once_at_its_size_and_place(name: str) -> None:
    verified = KNOWN[name]()
    shape = shape_of(verified)
    found: Counter[tuple[str, int, int]] = Counter()
    for page in sheet_pages(name):
        labels = re.search(r"rows ((?:\w{3} )?\d\d:\d\d) to", page.text)
        tape_id = re.search(r"tape ([A-Z])sheet", page.text)
        assert labels is not None
        assert tape_id is not None
        first = row_of_label(labels[1], tapes_of(verified)[0])
        for mark in hole_marks(page, shape):
            # The guided edge lies 48 mm from the paper's left, the middle of a sheet's first row half a pitch
            # below 58 mm; a hole may be off by a hundredth of a millimetre for the numbers of the file.
            row = (mark.y - 58 - shape.pitch_nm / 2e6) / (shape.pitch_nm / 1e6)
            assert abs(row - round(row)) * shape.pitch_nm / 1e6 < 0.01
            across = mark.x - 48
            (track,) = [n for n, at in enumerate(shape.tracks_nm, start=1) if abs(at / 1e6 - across) < 0.01]
            found[tape_id[1], first + round(row), track] += 1
    wanted = {(tape.id, hole.row, hole.track) for tape in tapes_of(verified) for hole in tape.holes}
    assert found == Counter(wanted)


def row_of_label(label: str, tape: Tape) -> int:
    *weekday, clock = label.split()
    hours, minutes = map(int, clock.split(":"))
    day = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun").index(weekday[0]) if weekday else 0
    return (day * 86_400 + hours * 3600 + minutes * 60) // tape.row_interval_s


@pytest.mark.parametrize("name", sorted(KNOWN))
def test_sheets_divide_the_rows_so_that_each_hole_is_on_one(name: str) -> None:
    verified = KNOWN[name]()
    for tape in tapes_of(verified):
        pieces = pieces_of(verified, tape)
        assert [piece.number for piece in pieces] == list(range(1, len(pieces) + 1))
        assert [piece for piece in pieces if not piece.holes] == [pieces[-1]]
        assert pieces[-1].ends
        placed = [(hole.row, hole.track) for piece in pieces for hole in piece.holes]
        # The strip begins in the longest stretch without holes, and that is of the night.
        first = placed[0][0]
        assert sorted(placed, key=lambda hole: (hole[0] < first, hole)) == placed
        assert sorted(placed) == [(hole.row, hole.track) for hole in tape.holes]


def test_a_hole_in_the_first_and_in_the_last_row_of_a_sheet_stays_on_its_own() -> None:
    # The wheel silences Tuesday from its first second: the hole for 00:00 would ring a minute after 23:59.
    wheel = DayWheel((1, 2, 3, 4, 5, 6), 0, None, None, made.NOWHERE)
    machine, paper = made.day_machine()._replace(reads=(made.ahead(0),), day_wheels=(wheel,)), PAPERS["a4"]
    rings = [made.ring(f"2026-09-07 {at}", "main") for at in ("00:00", "01:14", "01:15", "23:59")]
    known = made.verified([made.zone("main", 1)], machine, rings)
    (tape,) = tapes_of(known)
    shape = shape_of(known)
    # 191 mm of tape fit between heading and foot: 75 rows of 2.54 mm, a whole number of quarter hours.
    assert rows_per_sheet(tape, shape, paper) == 75
    # Rows 75 to 1439 leave the longest stretch free; its middle, where the strip begins, is row 757.
    assert [(p.first_row, p.last_row, len(p.holes)) for p in pieces_of(known, tape)] == [
        (1425, 1439, 1),
        (0, 74, 2),
        (75, 149, 1),
        (750, 756, 0),
    ]


def test_a_sheet_shows_the_tape_the_way_round_it_is_punched() -> None:
    page = sheet_pages("school")[0]
    for words in ("THIS SIDE", "TO THE", "FINGERS", "tape travels", "guided edge"):
        assert words in page.text
    # Both ends name a track and its zone.
    assert page.text.count("1 main") >= 2
    assert page.text.count("4 yard") >= 2


def test_a_sheet_says_which_it_is_and_what_was_left_out() -> None:
    texts = [page.text for page in sheet_pages("school")]
    assert "sheet 1 of 6" in texts[0]
    # 23:58 read 3 rows ahead is label 00:01, so the first sheet begins the loop.
    assert "rows 00:00 to 01:14" in texts[0]
    # Rows 909 (15:09) to 1440 are free, 532 rows: cut in their middle, the strip begins with row 1175.
    assert "No holes, so no sheet: 19:35 to 23:59 and 01:15 to 07:29" in texts[0]
    for text in texts:
        assert "Saltmarsh School" in text
        assert "issue 3 of 2026-08-20" in text
        assert made.FINGERPRINT[:16] in text


def test_a_sheet_has_a_bar_to_measure_in_each_direction() -> None:
    text = sheet_pages("school")[0].text
    assert "across: 150 mm at 100 %" in text
    assert "along: 150 mm at 100 %" in text
    assert "Print at 100 %" in text


def test_nothing_near_a_hole_is_darker_than_mid_grey() -> None:
    for page in sheet_pages("school"):
        holes = hole_marks(page, shape_of(school()))
        for mark in page.marks:
            if mark in holes or mark.grey >= 0.5:
                continue
            assert all(
                abs(mark.x - hole.x) > (mark.width + hole.width) / 2
                or abs(mark.y - hole.y) > (mark.height + hole.height) / 2
                for hole in holes
            )


# ------------------------------------------------------------------ pages in words


def test_the_first_page_says_what_was_not_checked_and_warns() -> None:
    text = pages_of("school")[0].text
    assert text.index("Not yet checked") < text.index("Take care")
    for words in (
        "Mains in the case",
        "burns a bell coil",
        "Punching.",
        "never an alarm signal",
        "Local codes",
    ):
        assert words in text
    unsaid = [verdict.check for verdict in school().verdicts if verdict.verdict == "cannot say"]
    assert unsaid
    for sentence in unsaid:
        # Lines may break between any two words.
        assert sentence.replace(" ", "") in text.replace(" ", "")


def test_the_list_gives_counts_and_sums_that_can_be_counted_again() -> None:
    text = "".join(page.text for page in pages_of("school") if "list to punch by" in page.text)
    # Tape A: 23:58 at row 1; 08:43 on one track and 08:48 on two, rows 523, 528, 528; 10:33 and 10:48, rows
    # 633 and 648; 15:08, row 908. In hour 08 that is 3 holes and 1579 = 16 x 97 + 27; in all 7 holes and
    # 3769 = 38 x 97 + 83.
    assert "hour from 08:00: 3 holes, sum 27" in text
    assert "so far: 7, sum 83" in text
    # Track 4: rows 528 and 633 make 1161 = 11 x 97 + 94.
    assert "track 4 yard294" in text


def test_the_list_names_the_dates_of_each_tape() -> None:
    text = "".join(page.text for page in pages_of("school"))
    assert "Mon 2026-09-07 to Thu 2026-09-10" in text
    assert "Fri 2026-09-11" in text


def test_a_name_too_long_for_its_place_ends_in_an_ellipsis() -> None:
    assert (shorten("workshop", 8), shorten("workshops", 8)) == ("workshop", "worksho…")


# ------------------------------------------------------------- what cannot be drawn


@pytest.mark.parametrize(
    ("machine", "said"),
    [
        (made.day_machine()._replace(pitch=None), "does not give the row pitch"),
        (made.day_machine()._replace(tape_width=None), "does not give the width of the tape"),
        (made.day_machine()._replace(tracks=()), "does not give the places of the tracks"),
        (
            made.day_machine()._replace(hole=None, pitch=None),
            "does not give the row pitch and the size of a hole",
        ),
        (made.day_machine()._replace(tape_width=made.mm("200")), "200 mm wide does not fit on a4 paper"),
        (made.day_machine()._replace(pitch=made.mm("300")), "a row of 300 mm does not fit on a4 paper"),
    ],
)
def test_where_the_machine_says_too_little_only_the_lists_are_printed(machine: Any, said: str) -> None:
    rings = [made.ring("2026-09-07 08:45", "main")]
    pages = read_pages(content_of(made.verified([made.zone("main", 1)], machine, rings)))
    assert "cannot draw: " in pages[0].text
    # Lines may break between any two words.
    assert said.replace(" ", "") in pages[0].text.replace(" ", "")
    assert not any(re.search(r"sheet \d+ of", page.text) for page in pages)
    assert any("list to punch by" in page.text and "08:48" in page.text for page in pages)


def test_a_programme_without_machine_says_that_there_is_no_tape() -> None:
    rings = [made.ring("2026-09-07 08:45", "main")]
    (page,) = read_pages(content_of(made.verified([made.zone("main", 1)], None, rings)))
    assert "no machine is described" in page.text.replace("  ", " ")


def test_a_machine_whose_tapes_are_not_laid_out_has_no_sheet() -> None:
    rings = [made.ring("2026-09-07 08:45", "main")]
    known = made.verified([made.zone("main", 1)], made.day_machine(), rings)
    (page, *_) = read_pages(content_of(known._replace(tapes=None)))
    assert "cannot draw: no tape has been laid out" in page.text


def test_rows_so_long_that_no_round_time_fits_have_sheets_all_the_same() -> None:
    rings = [made.ring("2026-09-07 08:45", "main")]
    known = made.verified([made.zone("main", 1)], made.day_machine()._replace(pitch=made.mm("60")), rings)
    (tape,) = tapes_of(known)
    # Three rows of 60 mm fit on A4, and 08:48 is row 528, the first of its sheet.
    assert [(p.first_row, p.last_row) for p in pieces_of(known, tape) if p.holes] == [(528, 530)]
    assert content_of(known)


@pytest.mark.parametrize("sprocket", [None, made.sprocket("0", "1.17", "9.96")])
def test_drive_holes_that_nobody_described_are_left_out(sprocket: Any) -> None:
    rings = [made.ring("2026-09-07 08:45", "main")]
    known = made.verified([made.zone("main", 1)], made.day_machine()._replace(sprocket=sprocket), rings)
    (sheet,) = [page for page in read_pages(content_of(known)) if "sheet 1 of 2" in page.text]
    assert not [mark for mark in sheet.marks if mark.grey == 1]
    assert len(hole_marks(sheet, shape_of(known))) == 1


def test_names_with_signs_of_the_typesetting_language_are_printed_as_they_are() -> None:
    rings = [made.ring("2026-09-07 08:45", "main")]
    made_so = made.verified([made.zone("main", 1)], made.day_machine(), rings)
    name = r"St \Anne's #1 *[&<School>] $x_1$ @home"
    pages = read_pages(content_of(made_so._replace(programme=made_so.programme._replace(name=name))))
    assert name in pages[0].text
    assert shorten(name, 44) in next(page.text for page in pages if "sheet 1 of" in page.text)


# ------------------------------------------------------------------- the file itself


@pytest.mark.parametrize("name", sorted(KNOWN))
def test_the_same_programme_gives_the_same_bytes(name: str) -> None:
    assert content_of(KNOWN[name]()) == content_of(KNOWN[name]())


# A4, A3: ISO 216. Letter and tabloid: 8.5 in by 11 in and 11 in by 17 in, ANSI/ASME Y14.1 sizes A and B.
@pytest.mark.parametrize(
    ("paper", "size"),
    [("a4", (210, 297)), ("a3", (297, 420)), ("letter", (215.9, 279.4)), ("tabloid", (279.4, 431.8))],
)
def test_every_page_has_the_size_of_the_paper(paper: Any, size: tuple[float, float]) -> None:
    for page in read_pages(write(school(), ChartChoice(paper)).artefact.content):
        assert (page.width, page.height) == pytest.approx(size, abs=0.01)


def test_nothing_of_a_sheet_stands_off_the_paper_or_in_its_white_edge() -> None:
    for name in KNOWN:
        for page in sheet_pages(name):
            for mark in page.marks:
                assert mark.x - mark.width / 2 > 8
                assert mark.x + mark.width / 2 < page.width - 8


def test_viewers_are_asked_not_to_scale_and_no_clock_is_in_the_file() -> None:
    content = content_of(school())
    with pikepdf.open(BytesIO(content)) as document:
        # Source: ISO 32000-1, table 150.
        assert document.Root.ViewerPreferences.PrintScaling == "/None"
        assert not {"/CreationDate", "/ModDate"} & set(document.docinfo.keys())
        metadata = bytes(document.Root.Metadata.read_bytes())
    assert b"CreateDate" not in metadata
    assert b"ModifyDate" not in metadata


def test_only_fonts_of_the_file_are_used() -> None:
    with pikepdf.open(BytesIO(content_of(school()))) as document:
        fonts = {
            str(font.BaseFont).split("+")[-1]
            for page in document.pages
            for font in dict(page.Resources.get("/Font", {})).values()
        }
    assert fonts == {"DejaVuSansMono", "DejaVuSansMono-Bold"}


def test_rows_that_are_crowded_share_the_room_beside_the_tape() -> None:
    rings = [made.ring(f"2026-09-07 09:{minute:02}", "main") for minute in range(60)]
    known = made.verified([made.zone("main", 1)], made.day_machine(), rings)
    pages = read_pages(content_of(known))
    drawn = sum(len(hole_marks(page, shape_of(known))) for page in pages)
    assert drawn == 60


def test_a_hole_stands_where_its_row_and_track_say() -> None:
    (tape, _) = tapes_of(school())
    hole: Hole = tape.holes[-1]
    # 15:05 is row 905, three ahead 908 on track 1, 2.34 mm from the guided edge. The sheet begins at 900.
    assert (hole.row, hole.track) == (908, 1)
    (placed,) = (each for piece in pieces_of(school(), tape) for each in piece.holes if each.row == 908)
    assert placed.x_nm == 50_340_000
    assert placed.y_nm == 58_000_000 + 8 * 2_540_000 + 1_270_000
