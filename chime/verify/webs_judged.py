"""Whether enough of the tape is left between its holes, beside the drive holes, and at its edges."""

from collections import defaultdict
from collections.abc import Iterator
from math import ceil, hypot

from chime.mechanics import webs
from chime.mechanics.closed_length import HoleShape
from chime.tape.model import Hole, Tape
from chime.verify import machine_faults as codes
from chime.verify.closing import drive_hole_needs, hole_needs, read_drive_hole, read_hole
from chime.verify.judging import Found, Judgement, Subject
from chime.verify.machine_sheet import Sheet
from chime.verify.model import Margin

_ACROSS = ("error across the tape",)
_SIZES = ("least web", "tolerance of the holes", "wear")


def _largest(sheet: Sheet) -> HoleShape:
    """Return the hole at its largest: punched so within its tolerance, and worn."""
    hole, by = read_hole(sheet), sheet.amount("tolerance of the holes") + sheet.amount("wear")
    return hole._replace(along_mm=hole.along_mm + by, across_mm=hole.across_mm + by)


def _leave(web_mm: float) -> str:
    return f"leave {Margin(web_mm).write(2)} mm" if web_mm > 0 else "leave nothing"


def _along_needs(subject: Subject) -> tuple[str, ...]:
    return (*hole_needs(subject.sheet), *_SIZES, "row pitch", "error of the jig", "error of the registration")


def _web_along(subject: Subject) -> Found:
    sheet = subject.sheet
    nearest = subject.nearest_on_a_track()
    if nearest is None:
        return Found("no track holds two holes")
    rows, first, second = nearest
    longest, jig = _largest(sheet).along_mm, sheet.amount("error of the jig")
    once, anew = (
        webs.web_along(
            rows, sheet.amount("row pitch"), longest, webs.placing_error(jig, again, same_setting=same)
        )
        for again, same in ((0.0, True), (sheet.amount("error of the registration"), False))
    )
    least = sheet.amount("least web")
    apart = "1 row" if rows == 1 else f"{rows} rows"
    says = f"the two nearest holes of a track are {apart} apart and {_leave(once)}"
    provided = ""
    if anew < least <= once:
        says += f", if they are punched at one setting of the jig; else they {_leave(anew)}"
        provided = f"holes of a track that are {apart} apart are punched at one setting of the jig"
    at = "error of the jig" if 4 * jig > sheet.amount("row pitch") else ""
    because = (*first.because, *second.because)
    return Found(says, once - least, None, because, at=at, provided=provided)


def _across_needs(subject: Subject) -> tuple[str, ...]:
    places = (f"place of track {track}" for track in subject.tracks())
    names = ("row pitch", "error of the jig", "error across the tape", *places)
    return (*hole_needs(subject.sheet), *_SIZES, *names)


def _web_across(subject: Subject) -> Found:
    sheet = subject.sheet
    pairs = list(_near_pairs(subject))
    if not pairs:
        return Found("no two tracks hold holes that are near each other")
    web, first, second = min(pairs, key=lambda pair: (pair[0], pair[1].row, pair[1].track))
    says = f"holes of tracks {first.track} and {second.track} {_leave(web)} between them"
    return Found(says, web - sheet.amount("least web"), None, (*first.because, *second.because))


def web_along_left(subject: Subject, rows: int) -> float:
    """Return what is left, in mm, of the web between two holes of a track so many rows apart."""
    sheet = subject.sheet
    placing = webs.placing_error(sheet.amount("error of the jig"), 0.0, same_setting=True)
    web = webs.web_along(rows, sheet.amount("row pitch"), _largest(sheet).along_mm, placing)
    return web - sheet.amount("least web")


def web_across_left(subject: Subject, rows: int, track: int, other: int) -> float:
    """Return what is left, in mm, of the web between holes of two tracks so many rows apart."""
    sheet = subject.sheet
    across = abs(sheet.amount(f"place of track {track}") - sheet.amount(f"place of track {other}"))
    return _web(sheet, _largest(sheet), rows * sheet.amount("row pitch"), across) - sheet.amount("least web")


def reach_in_rows(subject: Subject) -> int:
    """Return how many rows apart holes can be and still be near each other."""
    sheet = subject.sheet
    near = (_largest(sheet).along_mm + 2 * sheet.amount("least web")) / sheet.amount("row pitch")
    return min(ceil(near), _FARTHEST_ROWS)


_FARTHEST_ROWS = 50


def _near_pairs(subject: Subject) -> Iterator[tuple[float, Hole, Hole]]:
    """Give the web of every two holes on different tracks that are near each other along the tape."""
    sheet = subject.sheet
    hole, pitch = _largest(sheet), sheet.amount("row pitch")
    reach = reach_in_rows(subject)
    places = {track: sheet.amount(f"place of track {track}") for track in subject.tracks()}
    seen: dict[tuple[int, int, int], float] = {}
    for tape in subject.tapes:
        rows = _by_row(tape)
        for first in tape.holes:
            for apart in range(reach + 1):
                for second in rows.get((first.row + apart) % tape.rows, ()):
                    if second.track == first.track or (apart == 0 and second.track < first.track):
                        continue
                    pair = apart, first.track, second.track
                    if pair not in seen:
                        across = abs(places[first.track] - places[second.track])
                        seen[pair] = _web(sheet, hole, apart * pitch, across)
                        yield seen[pair], first, second


def _by_row(tape: Tape) -> dict[int, list[Hole]]:
    rows: dict[int, list[Hole]] = defaultdict(list)
    for hole in tape.holes:
        rows[hole.row].append(hole)
    return rows


def _web(sheet: Sheet, hole: HoleShape, along_mm: float, across_mm: float) -> float:
    """Return the web between two holes, each as near to the other as its errors allow."""
    along = max(0.0, along_mm - 2 * sheet.amount("error of the jig"))
    across = max(0.0, across_mm - 2 * sheet.amount("error across the tape"))
    return web_between(hole, along, across)


def web_between(hole: HoleShape, along_mm: float, across_mm: float) -> float:
    """Return the distance between two holes of one shape with their middles so far apart; below 0 they meet.

    A round-ended slot is a round hole drawn along a line, so that what counts is how far the lines are apart.
    """
    if hole.kind == "square slot":
        gaps = along_mm - hole.along_mm, across_mm - hole.across_mm
        return hypot(*gaps) if min(gaps) > 0 else max(gaps)
    thick = min(hole.along_mm, hole.across_mm)
    along = max(0.0, along_mm - (hole.along_mm - thick))
    across = max(0.0, across_mm - (hole.across_mm - thick))
    return webs.web_between_round(along, across, thick, thick)


def _drive_needs(subject: Subject) -> tuple[str, ...]:
    places = (f"place of track {track}" for track in subject.tracks())
    return (*hole_needs(subject.sheet), *_SIZES, *drive_hole_needs(subject.sheet), *_ACROSS, *places)


def _web_to_drive_holes(subject: Subject) -> Found:
    """Look at each track as if a hole stood beside a drive hole, for where rows lie to them is not said."""
    sheet = subject.sheet
    line, drive = sheet.amount("place of the drive holes"), read_drive_hole(sheet)
    away = {track: abs(sheet.amount(f"place of track {track}") - line) for track in subject.tracks()}
    track = min(away, key=lambda each: (away[each], each))
    across = away[track] - sheet.amount("error across the tape") - drive.off_mm
    web = webs.web_between_round(0.0, across, _largest(sheet).across_mm, drive.largest.across_mm)
    says = f"holes of track {track} {_leave(web)} to the drive holes"
    return Found(says, web - sheet.amount("least web"))


def _edge_needs(subject: Subject) -> tuple[str, ...]:
    places = (f"place of track {track}" for track in subject.tracks())
    return (*hole_needs(subject.sheet), *_SIZES, "width of the tape", "error across the tape", *places)


def _web_to_edges(subject: Subject) -> Found:
    """Hold the holes of each track against the edge that is nearer; an edge is a hole without end (F27)."""
    sheet = subject.sheet
    width, hole = sheet.amount("width of the tape"), _largest(sheet).across_mm
    off = sheet.amount("error across the tape")
    left = {
        track: webs.web_to_edge(sheet.amount(f"place of track {track}"), width, hole, off)
        for track in subject.tracks()
    }
    track = min(left, key=lambda each: (left[each], each))
    web = left[track]
    return Found(f"holes of track {track} {_leave(web)} to the edge", web - sheet.amount("least web"))


def _has_drive_holes(sheet: Sheet) -> bool:
    return sheet.word("how the tape is held") != "friction"


_SIZES_THAT_CURE = ("length of the holes", "error of the jig", "width of the holes")

_SMALLER = "smaller holes and a better jig together, or tracks and rows that lie farther apart"

JUDGEMENTS = (
    Judgement(
        "Enough of the tape is left between holes of a track.",
        codes.WEB_ALONG,
        "too little tape is left between two holes of a track",
        lambda _: True,
        _along_needs,
        _web_along,
        ("least web",),
        _SIZES_THAT_CURE,
        _SMALLER,
        is_of_tapes=True,
    ),
    Judgement(
        "Enough of the tape is left between holes of different tracks.",
        codes.WEB_ACROSS,
        "too little tape is left between holes of different tracks",
        lambda _: True,
        _across_needs,
        _web_across,
        ("least web",),
        _SIZES_THAT_CURE,
        _SMALLER,
        is_of_tapes=True,
    ),
    Judgement(
        "Enough of the tape is left between holes and drive holes.",
        codes.WEB_TO_DRIVE_HOLES,
        "too little tape is left between holes and drive holes",
        _has_drive_holes,
        _drive_needs,
        _web_to_drive_holes,
        ("least web",),
        _SIZES_THAT_CURE,
        _SMALLER,
    ),
    Judgement(
        "Enough of the tape is left between holes and its edges.",
        codes.WEB_TO_EDGES,
        "too little tape is left between holes and its edges",
        lambda _: True,
        _edge_needs,
        _web_to_edges,
        ("least web",),
        _SIZES_THAT_CURE,
        _SMALLER,
    ),
)
