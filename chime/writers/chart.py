"""The hole chart: a PDF with true-size sheets to punch by and the same tapes as lists."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from chime.tape.model import Tape
from chime.verify.model import Verified
from chime.writers.chart_drawing import draw
from chime.writers.chart_sheets import PAPERS, Paper, PaperName, Shape, Sheet, plan_sheets, read_shape
from chime.writers.chart_words import describe_cover, describe_tape
from chime.writers.model import Artefact

if TYPE_CHECKING:
    from jinja2 import Environment

FILE_NAME = "chart.pdf"


def write(verified: Verified, *, paper: PaperName = "a4") -> tuple[Artefact, ...]:
    """Write `chart.pdf`: what nobody has checked, cautions, the sheets of every tape, then the lists.

    Where the machine does not say enough to draw a tape at its true size, the first page says what is missing
    and the lists stand alone. The bytes depend on the arguments and on the versions of typst and pikepdf.
    """
    sheet_of_paper = PAPERS[paper]
    tapes = verified.tapes.tapes if verified.tapes is not None else ()
    shape = _shape(verified, sheet_of_paper)
    sheets: dict[str, tuple[Sheet, ...]] = {}
    if isinstance(shape, Shape):
        sheets = {tape.id: plan_sheets(tape, shape, sheet_of_paper) for tape in tapes}
    source = _set_out(verified, tapes, sheets, shape, sheet_of_paper)
    return (Artefact(FILE_NAME, _finish(_typeset(source))),)


def _shape(verified: Verified, paper: Paper) -> Shape | str:
    machine = verified.programme.machine
    if machine is None:
        return "no machine is described, so there is no tape to punch"
    if verified.tapes is None or not verified.tapes.tapes:
        return "no tape has been laid out"
    return read_shape(machine, paper)


def _set_out(
    verified: Verified,
    tapes: Sequence[Tape],
    sheets: dict[str, tuple[Sheet, ...]],
    shape: Shape | str,
    paper: Paper,
) -> str:
    templates = _load_templates()
    drawn: list[str] = []
    if isinstance(shape, Shape):
        template = templates.get_template("sheet.svg")
        for tape in tapes:
            for sheet in sheets[tape.id]:
                drawing = draw(verified, tape, sheets[tape.id], sheet.number, shape, paper)
                drawn.append(template.render(d=drawing))
    programme = verified.programme
    cannot_draw = "" if isinstance(shape, Shape) else f"cannot draw: {shape}"
    label = (
        f"issue {programme.issue} of {programme.issued.isoformat()}, fingerprint {verified.fingerprint[:16]}"
    )
    return templates.get_template("chart.typ").render(
        paper={"width": paper.width_nm / 1_000_000, "height": paper.height_nm / 1_000_000},
        running=f"{programme.name}, issue {programme.issue}, {verified.fingerprint[:16]}",
        label=label,
        cover=describe_cover(verified, sheets, cannot_draw),
        sheets=drawn,
        tapes=[describe_tape(verified, tape, sheets.get(tape.id, ())) for tape in tapes],
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


def _finish(content: bytes) -> bytes:
    """Ask viewers not to scale the pages when printing, and take out what could differ between two runs."""
    from io import BytesIO

    import pikepdf

    finished = BytesIO()
    with pikepdf.open(BytesIO(content)) as document:
        document.Root.ViewerPreferences = pikepdf.Dictionary(
            PrintScaling=pikepdf.Name("/None"), DisplayDocTitle=True
        )
        for key in ("/CreationDate", "/ModDate"):
            if key in document.docinfo:
                del document.docinfo[key]
        document.save(finished, deterministic_id=True)
    return finished.getvalue()
