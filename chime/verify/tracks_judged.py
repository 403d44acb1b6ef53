"""Whether a finger can reach the holes of another track, or the drive holes (F30)."""

from chime.mechanics import neighbours
from chime.mechanics.closed_length import HoleShape, TipShape
from chime.verify import machine_faults as codes
from chime.verify.closing import (
    closing_needs,
    drive_hole_needs,
    read_drive_hole,
    read_hole,
    read_lateral,
    read_mode,
    read_tip,
)
from chime.verify.judging import Found, Judgement, Subject
from chime.verify.machine_sheet import Sheet


def _needs(subject: Subject) -> tuple[str, ...]:
    sheet = subject.sheet
    places = tuple(f"place of track {track}" for track in subject.tracks())
    needs = (*closing_needs(sheet), *places)
    if sheet.word("how the tape is held") == "friction":
        return (*needs, "how the tape is held")
    return (*needs, *drive_hole_needs(sheet))


def _largest(sheet: Sheet) -> tuple[HoleShape, TipShape]:
    hole, by = read_hole(sheet), sheet.amount("tolerance of the holes") + sheet.amount("wear")
    tip, within = read_tip(sheet)
    return (
        hole._replace(along_mm=hole.along_mm + by, across_mm=hole.across_mm + by),
        tip._replace(along_mm=tip.along_mm + within, across_mm=tip.across_mm + within),
    )


def _no_other_track(subject: Subject) -> Found:
    sheet, tracks = subject.sheet, subject.tracks()
    hole, tip = _largest(sheet)
    places = {track: sheet.amount(f"place of track {track}") for track in tracks}
    lateral = read_lateral(sheet)
    left = [
        (
            neighbours.clear_of_neighbour(hole, tip, abs(places[a] - places[b]), lateral),
            a,
            f"those of track {b}",
        )
        for a in tracks
        for b in tracks
        if a != b
    ]
    if sheet.word("how the tape is held") == "sprocket":
        drive, line = read_drive_hole(sheet), sheet.amount("place of the drive holes")
        left += [
            (
                neighbours.clear_of_neighbour(
                    drive.largest, tip, abs(places[a] - line) - drive.off_mm, lateral
                ),
                a,
                "the drive holes",
            )
            for a in tracks
        ]
    if not left:
        return Found("only one track holds holes")
    least, track, others = min(left)
    if least < 0:
        wanders = 2 * sheet.amount("side play") > tip.across_mm
        says = f"a finger of track {track} can reach {others}"
        return Found(says, least, at="side play" if wanders else "")
    what = "touch" if read_mode(sheet) == "brushes" else "be caught by"
    return Found(
        f"a finger of track {track} would have to wander {least:.2f} mm farther to {what} {others}", least
    )


JUDGEMENTS = (
    Judgement(
        "No finger reaches a hole of another track, or a drive hole.",
        codes.OTHER_TRACK,
        "a finger can reach the holes of another track, or the drive holes",
        lambda _: True,
        _needs,
        _no_other_track,
        ("width of the tips", "length of the tips", "reading allowance"),
        ("width of the tips", "length of the tips", "side play"),
        "narrower tips and less side play together, and measure again where the tracks lie",
        claims_reserve=True,
    ),
)
