"""The hole chart: a PDF with true-size sheets to punch by and the same tapes as lists."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from chime.records import NamedTuple
from chime.tape.geometry import write_mm
from chime.tape.model import Tape
from chime.verify.model import Verified
from chime.writers.chart_callouts import call_out
from chime.writers.chart_choice import chosen_pieces, chosen_tapes
from chime.writers.chart_cover import describe_cover
from chime.writers.chart_drawing import draw
from chime.writers.chart_gauge import Gauge, draw_gauge
from chime.writers.chart_list import SIDE_NM, describe_tape
from chime.writers.chart_proving import describe_proving
from chime.writers.chart_register import (
    BarLimit,
    drive_line,
    find_marks,
    limit_bar,
    say_bar_limit,
    say_bar_range,
)
from chime.writers.chart_rota import list_duties, write_rota
from chime.writers.chart_rows import RowLabels, style_labels
from chime.writers.chart_scale import as_drawn, drawn_length, say_printer
from chime.writers.chart_sheet_words import (
    Plan,
    SheetWords,
    TrackNames,
    name_tracks,
    say_rows,
    say_sheet,
    write_sheet,
)
from chime.writers.chart_sheets import BAR_NM, PAPERS, Paper, Piece, Shape, cut_up, read_shape
from chime.writers.chart_strip import lay_flat
from chime.writers.chart_wall import write_wall
from chime.writers.model import Artefact, Chart, ChartChoice, Sheet
from chime.writers.verdict_words import WILL_NOT_READ, failing

if TYPE_CHECKING:
    import pikepdf
    from jinja2 import Environment

FILE_NAME = "chart.pdf"

LISTS_ONLY = "no sheets: only the lists were asked for"


class _Page(NamedTuple):
    """A sheet that is printed, and the bookmark that leads to its page."""

    plan: Plan
    piece: Piece
    bookmark: str


def write(verified: Verified, choice: ChartChoice | None = None) -> Chart:
    """Write `chart.pdf`: what nobody has checked, cautions, the sheets of the tapes, then the lists.

    Where the machine does not say enough to draw a tape at its true size, the first page says what is missing
    and the lists stand alone. The choice must be one that `refuse_choice` does not refuse. The bytes depend
    on the arguments and on the versions of typst and pikepdf.
    """
    choice = choice or ChartChoice()
    paper = PAPERS[choice.paper]
    tapes = chosen_tapes(choice, verified.tapes.tapes if verified.tapes is not None else ())
    shape = LISTS_ONLY if choice.list_only else _shape(verified, tapes, choice)
    plans = _plan(verified, tapes, shape, paper, choice)
    pages = _choose_pages(plans, choice)
    source = _set_out(verified, choice, plans, pages, shape)
    content, numbers = _finish(_typeset(source), [page.bookmark for page in pages])
    return Chart(
        Artefact(FILE_NAME, content),
        tuple(_list_sheet(page, number) for page, number in zip(pages, numbers, strict=True)),
    )


def _shape(verified: Verified, tapes: Sequence[Tape], choice: ChartChoice) -> Shape | str:
    machine = verified.programme.machine
    if machine is None:
        return "no machine is described, so there is no tape to punch"
    if not tapes:
        return "no tape has been laid out"
    bar = drawn_length(BAR_NM, choice)
    return read_shape(as_drawn(machine, choice), PAPERS[choice.paper], bar, from_back=choice.from_back)


def _plan(
    verified: Verified, tapes: Sequence[Tape], shape: Shape | str, paper: Paper, choice: ChartChoice
) -> dict[str, Plan]:
    machine = verified.programme.machine
    plans: dict[str, Plan] = {}
    for tape in tapes:
        assert machine is not None
        strip = lay_flat(tape, machine)
        pieces: tuple[Piece, ...] = ()
        if isinstance(shape, Shape):
            pieces = cut_up(strip, shape, paper, all_sheets=choice.all_sheets)
        plans[tape.id] = Plan(strip, pieces)
    return plans


def _choose_pages(plans: Mapping[str, Plan], choice: ChartChoice) -> list[_Page]:
    return [
        _Page(plan, piece, _write_bookmark(plan, piece))
        for plan in plans.values()
        for piece in chosen_pieces(choice, plan.strip.tape, plan.pieces)
    ]


def _write_bookmark(plan: Plan, piece: Piece) -> str:
    rows = say_rows(plan.strip, piece.first_row, piece.last_row)
    return f"Tape {plan.strip.tape.id}, {say_sheet(plan, piece)}: {rows}"


def _list_sheet(page: _Page, number: int) -> Sheet:
    piece = page.piece
    return Sheet(FILE_NAME, number, page.plan.strip.tape.id, piece.first_row, piece.last_row, piece.holes)


# -------------------------------------------------------------------- setting it out


class _DrawnSheet(NamedTuple):
    """A sheet as the template of the whole takes it: its words, and its drawing as SVG."""

    bookmark: str
    words: SheetWords
    drawing: str


class _Drawn(NamedTuple):
    """The sheets, and what they have in common."""

    tape_width: str
    from_back: bool
    labels: RowLabels
    tracks: TrackNames
    has_pins: bool
    sheets: tuple[_DrawnSheet, ...]


def _set_out(
    verified: Verified,
    choice: ChartChoice,
    plans: Mapping[str, Plan],
    pages: Sequence[_Page],
    shape: Shape | str,
) -> str:
    paper = PAPERS[choice.paper]
    templates = _load_templates()
    programme = verified.programme
    tapes = [plan.strip.tape for plan in plans.values()]
    cannot_draw = "" if isinstance(shape, Shape) else shape if choice.list_only else f"cannot draw: {shape}"
    fails = failing(verified)
    limit = _limit_bar(verified, plans, shape)
    return templates.get_template("chart.typ").render(
        paper={"width": write_mm(paper.width_nm), "height": write_mm(paper.height_nm)},
        side=write_mm(SIDE_NM),
        bar=write_mm(BAR_NM),
        for_printer=say_printer(choice),
        bar_limit=say_bar_limit(limit),
        list_only=choice.list_only,
        gauge=_draw_gauge(verified, shape),
        bar_range=say_bar_range(limit),
        running=f"{programme.name}, issue {programme.issue}, {verified.fingerprint[:16]}",
        warned=WILL_NOT_READ if fails else "",
        cover=describe_cover(verified, tapes, plans, choice, cannot_draw),
        drawn=_draw_sheets(templates, verified, pages, shape, paper),
        tapes=[describe_tape(verified, plan, paper, is_drawn=not cannot_draw) for plan in plans.values()],
        proving=describe_proving(verified),
        rota=write_rota(verified, plans),
        wall=write_wall(verified, plans),
        duty_days=list_duties(verified, plans),
    )


def _draw_gauge(verified: Verified, shape: Shape | str) -> Gauge | None:
    machine = verified.programme.machine
    return None if machine is None or isinstance(shape, str) else draw_gauge(machine, shape.machine)


def _limit_bar(verified: Verified, plans: Mapping[str, Plan], shape: Shape | str) -> BarLimit | None:
    if isinstance(shape, str):
        return None
    return limit_bar(verified, [piece for plan in plans.values() for piece in plan.pieces], shape)


def _draw_sheets(
    templates: "Environment", verified: Verified, pages: Sequence[_Page], shape: Shape | str, paper: Paper
) -> _Drawn | None:
    machine = verified.programme.machine
    if machine is None or isinstance(shape, str) or not pages:
        return None
    template = templates.get_template("sheet.svg")
    labels = style_labels(pages[0].plan.strip.tape, shape)
    sheets: list[_DrawnSheet] = []
    for plan, piece, bookmark in pages:
        marks = find_marks(plan.strip, piece, shape, machine)
        callouts = call_out(plan.strip, piece, marks, shape, paper)
        drawing = template.render(d=draw(plan.strip, piece, marks, callouts, shape, paper))
        words = write_sheet(verified, plan, piece, callouts, labels, shape)
        sheets.append(_DrawnSheet(bookmark, words, drawing))
    return _Drawn(
        write_mm(shape.width_nm),
        shape.from_back,
        labels,
        name_tracks(verified, machine, shape),
        drive_line(shape) is not None,
        tuple(sheets),
    )


def _load_templates() -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

    templates = Environment(
        loader=PackageLoader("chime.writers"),
        autoescape=select_autoescape(["svg"]),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["literal"] = _quote
    return templates


def _quote(text: str) -> str:
    """Write a text as a string of the typesetting language, whatever is in it."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _typeset(source: str) -> bytes:
    import typst

    # The fonts that come with the library, and none of this computer: the same page everywhere.
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True)
    return typst.compile(
        source.encode(), font_paths=fonts, ignore_system_fonts=True, format="pdf", pdf_tags=False
    )


# --------------------------------------------------------------------- finishing it


def _finish(content: bytes, bookmarks: Sequence[str]) -> tuple[bytes, list[int]]:
    """Ask viewers not to scale the pages, and find bookmarks.

    The numbers are those of the pages to which the bookmarks lead, from 1.
    """
    from io import BytesIO

    import pikepdf

    finished = BytesIO()
    with pikepdf.open(BytesIO(content)) as document:
        document.Root.ViewerPreferences = pikepdf.Dictionary(
            PrintScaling=pikepdf.Name("/None"), DisplayDocTitle=True
        )
        page_of = _read_bookmarks(document)
        document.save(finished, deterministic_id=True)
    return finished.getvalue(), [page_of[bookmark] for bookmark in bookmarks]


def _read_bookmarks(document: "pikepdf.Pdf") -> dict[str, int]:
    """Return the number of the page to which each bookmark leads; of those that are alike, the last one's."""
    import pikepdf

    number_of = {page.obj.objgen: number for number, page in enumerate(document.pages, start=1)}
    found: dict[str, int] = {}
    with document.open_outline() as outline:
        for item in _in_order(outline.root):
            place = item.destination
            assert isinstance(place, pikepdf.Array)
            found[str(item.title)] = number_of[place[0].objgen]
    return found


def _in_order(items: "Iterable[pikepdf.OutlineItem]") -> "Iterator[pikepdf.OutlineItem]":
    for item in items:
        yield item
        yield from _in_order(item.children)
