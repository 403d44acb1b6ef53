"""A printed chart read as a picture: lines, ticks, drive holes and black holes, measured in millimetres.

Nothing here knows how the chart is made. Pages are drawn and read by PDFium, which had no part in making them.
"""

from math import ceil
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
import pypdfium2.raw
from numpy.typing import NDArray

DPI = 600
MM = 25.4 / DPI
"""Millimetres of a picture point."""

PT_PER_IN = 72
"""A point of a PDF page is 1/72 in. Source: ISO 32000-1, 8.3.2.3."""

BLACK, MID_GREY, WHITE = 64, 128, 250
"""Darker than the first is black; up to the last but white is not white. Grey 128 of 255 is the middle."""

Picture = NDArray[np.uint8]
Part = tuple[float, float, float, float]
"""A part of a page: its left and top from those of the page, its width and height, in mm."""
Stretch = tuple[int, int, int]
"""Points side by side: their line, the first column and the one after the last."""


class Blot(NamedTuple):
    """Black points that hang together: their middle, the box round them, and their area (mm, mm2)."""

    x: float
    y: float
    width: float
    height: float
    area: float


class Circle(NamedTuple):
    """A drawn circle: its middle and its width."""

    x: float
    y: float
    width: float


class Printed(NamedTuple):
    """A page, or the part of it from `left` and `top` on, in points."""

    picture: Picture
    left: int
    top: int

    def x(self, point: float) -> float:
        """Where the middle of a point lies, in mm from the left of the page."""
        return (point + self.left + 0.5) * MM

    def y(self, point: float) -> float:
        return (point + self.top + 0.5) * MM

    def column(self, x: float) -> int:
        """The point that holds a place."""
        return int(x / MM) - self.left

    def line(self, y: float) -> int:
        return int(y / MM) - self.top


def open_chart(path: Path) -> Any:
    """Open a chart for the two functions below, which count its pages from 1."""
    return pypdfium2.PdfDocument(path)


def print_page(chart: Any, number: int, part: Part | None = None) -> Printed:
    """Draw a page, or a part of it, grey on white.

    PDFium stretches a page to whole picture points. So the page is laid on a sheet of whole inches to be drawn.
    """
    page = chart[number - 1]
    box = left_pt, bottom_pt, right_pt, top_pt = page.get_mediabox()
    wide, high = (right_pt - left_pt) / PT_PER_IN, (top_pt - bottom_pt) / PT_PER_IN
    across, down = ceil(wide), ceil(high)
    page.set_mediabox(left_pt, top_pt - down * PT_PER_IN, left_pt + across * PT_PER_IN, top_pt)
    assert page.get_size() == (across * PT_PER_IN, down * PT_PER_IN)
    left, top, width, height = (round(each / MM) for each in part or (0, 0, wide * 25.4, high * 25.4))
    drawn = pypdfium2.PdfBitmap.new_native(width, height, pypdfium2.raw.FPDFBitmap_Gray)
    drawn.fill_rect((255, 255, 255, 255), 0, 0, width, height)
    place = -left, -top, across * DPI, down * DPI, 0
    pypdfium2.raw.FPDF_RenderPageBitmap(drawn, page, *place, pypdfium2.raw.FPDF_GRAYSCALE)
    page.set_mediabox(*box)
    return Printed(drawn.to_numpy(), left, top)


def cut_out(page: Printed, part: Part) -> Printed:
    """Give a part of a whole page that was drawn."""
    left, top, width, height = (round(each / MM) for each in part)
    return Printed(page.picture[top : top + height, left : left + width], left, top)


def read_words(chart: Any) -> list[list[str]]:
    """Read the lines of words on each page, as a search for words finds them."""
    return [page.get_textpage().get_text_range().splitlines() for page in chart]


def runs(mask: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """The stretches of points that are set: first, and the one after the last."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(np.int8)))
    return [(int(first), int(end)) for first, end in zip(edges[::2], edges[1::2], strict=True)]


def find_tape(page: Printed) -> tuple[Printed, float, float]:
    """The part of the page between the ends of the tape's edges, and the places of its two edges.

    The part that is given must begin where only lines of the tape run down it.
    """
    dark = 255 - page.picture[: int(2 / MM)].astype(np.float64)
    lines = runs(dark.min(axis=0) > 60)
    assert len(lines) >= 2, "a tape has two edges"
    weight = dark.mean(axis=0)
    middles = [float(np.average(range(first, end), weights=weight[first:end])) for first, end in lines]
    (_, end) = runs(page.picture[:, round(middles[0])] < WHITE)[0]
    return Printed(page.picture[:end], page.left, page.top), page.x(middles[0]), page.x(middles[-1])


def find_ticks(page: Printed, guided_edge: float) -> list[float]:
    """The places of the ticks beside the guided edge, one for each row, down the page."""
    column = page.picture[:, page.column(guided_edge - 1.4)]
    return [page.y((first + end - 1) / 2) for first, end in runs(column < MID_GREY)]


def find_drive_holes(page: Printed, x: float, width: float, across: float | None = None) -> list[Circle]:
    """The circles of about a width, measured inside their line, whose middles lie near a line down the page.

    With `across` they are not round but as wide as that, from their upper side to their lower.
    """
    found: list[Circle] = []
    column = page.column(x)
    for first, end in runs(page.picture[:, column] >= WHITE):
        high = (end - first) * MM
        if abs(high - width) > 0.3:
            continue
        chords = [_white_round(page.picture[first + (end - first) * part // 8], column) for part in (1, 4, 7)]
        upper, wide, lower = ((right - left) * MM for left, right in chords)
        # An eighth of the width inside a circle, a chord is two thirds as long as the circle is wide.
        is_round = abs(wide - high) < 0.1 and all(
            abs(chord - 0.66 * wide) < 0.15 * wide for chord in (upper, lower)
        )
        is_straight = across is not None and all(abs(chord - across) < 0.3 for chord in (upper, wide, lower))
        if is_round if across is None else is_straight:
            found.append(Circle(page.x(sum(chords[1]) / 2 - 0.5), page.y((first + end - 1) / 2), wide))
    return found


def _white_round(points: NDArray[np.uint8], column: int) -> tuple[int, int]:
    """The stretch of white on a line that holds a column: its first point, and the one after its last."""
    return next((run for run in runs(points >= WHITE) if run[0] <= column < run[1]), (column, column))


def find_blots(page: Printed, left: float, right: float) -> list[Blot]:
    """Everything black between two lines down the page."""
    start = page.column(left)
    black = page.picture[:, start : page.column(right)] < BLACK
    groups: list[list[Stretch]] = []
    for line in np.flatnonzero(black.any(axis=1)):
        for first, end in runs(black[line]):
            stretch = (int(line), first, end)
            touched = [group for group in groups if any(_touches(each, stretch) for each in group[-4:])]
            groups = [group for group in groups if not any(group is each for each in touched)]
            groups.append([*(each for group in touched for each in group), stretch])
    return [_blot(page, group, start) for group in groups]


def _touches(above: Stretch, below: Stretch) -> bool:
    return above[0] == below[0] - 1 and above[1] < below[2] and below[1] < above[2]


def _blot(page: Printed, group: list[Stretch], start: int) -> Blot:
    area = sum(end - first for _, first, end in group)
    x = sum((end - first) * (first + end - 1) / 2 for _, first, end in group) / area
    y = sum((end - first) * line for line, first, end in group) / area
    width = max(end for _, _, end in group) - min(first for _, first, _ in group)
    height = group[-1][0] - group[0][0] + 1
    return Blot(page.x(x + start), page.y(y), width * MM, height * MM, area * MM * MM)


def darkest_round(page: Printed, blot: Blot) -> int:
    """The darkest grey within a third of a millimetre round the box of a blot, its own smooth rim left out."""
    rim, around = 2, 8
    left, right = (page.column(blot.x + side * blot.width / 2) for side in (-1, 1))
    top, bottom = (page.line(blot.y + side * blot.height / 2) for side in (-1, 1))
    seen = page.picture[top - around : bottom + around + 1, left - around : right + around + 1].copy()
    seen[around - rim : rim - around, around - rim : rim - around] = 255
    return int(seen.min())
