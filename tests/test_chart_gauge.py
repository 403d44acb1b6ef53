"""The five-inch gauge, in the printed file.

Source of its measures: a practice for adjusting telegraph punches, section 573-118-100 issue 8, paragraph 2.33 (read):
five holes of 0.072 in and a sixth of 0.086 in, which a tape's sixth hole must not leave: 0.007 in in 5 in.
"""

from pathlib import Path

import pytest

from chime.verify.model import Verified
from chime.writers.chart import write
from chime.writers.model import ChartChoice
from tests import tape_factory as made
from tests.printed_chart import MM, Printed, open_chart, print_page, read_words, runs

INCH = 25.4


def known(pitch: str) -> Verified:
    machine = made.day_machine()._replace(pitch=made.mm(pitch))
    return made.verified([made.zone("main", 1)], machine, [made.ring("2026-09-07 08:45", "main")])


def gauge_page(choice: ChartChoice, folder: Path) -> Printed:
    path = folder / "chart.pdf"
    path.write_bytes(write(known("2.54"), choice).artefact.content)
    file = open_chart(path)
    (number,) = [n for n, words in enumerate(read_words(file), 1) if "A gauge for the punched tape" in words]
    return print_page(file, number)


def rings_of(page: Printed) -> list[tuple[float, float]]:
    """The rings on the line of the page that has most of them: the middle and the width inside the line."""
    best: list[tuple[float, float]] = []
    for line in range(int(30 / MM), page.picture.shape[0] - int(20 / MM)):
        dark = runs(page.picture[line, : int(190 / MM)] < 160)
        if len(dark) == 12 and all(end - first < 0.4 / MM for first, end in dark):
            found = [
                ((left[1] + right[0]) / 2 * MM, (right[0] - left[1]) * MM)
                for left, right in zip(dark[::2], dark[1::2], strict=True)
            ]
            if not all(1 < width < 3 for _, width in found):  # a line of letters
                continue
            if not best or sum(width for _, width in found) > sum(width for _, width in best):
                best = found
    return best


@pytest.mark.parametrize(("bar", "measured"), [(0, 0), (250_000_000, 249_300_000)])
def test_six_rings_lie_an_inch_apart_and_the_last_is_wider(bar: int, measured: int, tmp_path: Path) -> None:
    choice = ChartChoice(bar_nm=bar, measured_nm=measured) if bar else ChartChoice()
    scale = bar / measured if bar else 1.0
    rings = rings_of(gauge_page(choice, tmp_path))
    assert len(rings) == 6
    places = [place - rings[0][0] for place, _ in rings]
    assert places == [pytest.approx(n * INCH * scale, abs=0.06) for n in range(6)]
    widths = [width + 0.08 for _, width in rings]  # a line of 0.08 mm lies half inside
    assert widths == [pytest.approx(0.072 * INCH * scale, abs=0.07)] * 5 + [
        pytest.approx(0.086 * INCH * scale, abs=0.07)
    ]


@pytest.mark.parametrize("pitch", ["2.5", "2.541", "5.08"])
def test_other_pitches_have_no_gauge(pitch: str, tmp_path: Path) -> None:
    path = tmp_path / "chart.pdf"
    path.write_bytes(write(known(pitch)).artefact.content)
    assert not any("gauge" in line for words in read_words(open_chart(path)) for line in words)
