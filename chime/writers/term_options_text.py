"""What a term costs in several ways, side by side."""

from fractions import Fraction

from chime.tape.model import TermEdit, TermOption, TermPlan
from chime.verify.model import Verified
from chime.writers.columns import fold, number, visible, words_of

_HEADS = ("minutes", "tapes", "changes", "moves", "silences", "rings", "tracks", "holes")
_RINGS = _HEADS.index("rings")
"""The column of rings by hand, which stands there only if there are any."""


def write_options(verified: Verified, term: TermPlan) -> str:
    """Write the table of options, the least first line being the machine as it stands, and the edits."""
    programme = verified.programme
    heading = f"{programme.name}, issue {programme.issue}, fingerprint {verified.fingerprint}"
    lines = [visible(heading), "", *_table(term)]
    if term.edits:
        lines += ["", "edits of the timetable that would save most on the machine as it stands"]
        lines += [f"  {line}" for edit in term.edits for line in fold(words_of(_say_edit(edit)), "", " ")]
    return "\n".join([*lines, "", *fold(words_of(_say_costs(term)), "", " ")]) + "\n"


def _table(term: TermPlan) -> list[str]:
    rows = [(*_HEADS, ""), *((*_cells(option), option.name) for option in term.options)]
    if not any(option.hand_rings for option in term.options):
        rows = [(*row[:_RINGS], *row[_RINGS + 1 :]) for row in rows]
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]) - 1)]
    return [
        "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=False))
        + f"  {row[-1]}".rstrip()
        for row in rows
    ]


def _cells(option: TermOption) -> tuple[str, ...]:
    minutes = _minutes(option.minutes)
    if option.least < option.minutes:
        minutes = f"{minutes} (at least {_minutes(option.least)})"
    counts = option.tapes, option.changes, option.moves, option.silences, option.hand_rings
    return (minutes, *(f"{count:,}" for count in (*counts, option.tracks, option.holes)))


def _minutes(minutes: Fraction) -> str:
    return f"{float(minutes):,.1f}".removesuffix(".0")


def _say_edit(edit: TermEdit) -> str:
    fewer = f", and {number(edit.tapes, 'tape')} fewer" if edit.tapes > 0 else ""
    return (
        f"{_minutes(edit.saves)} min less{fewer}: if {edit.one} and {edit.other} were one day "
        f"({number(edit.differing, 'ring')} of theirs differ)"
    )


def _say_costs(term: TermPlan) -> str:
    tape, change, move, silence, ring = map(_minutes, term.costs)
    return (
        f"Counted for the whole term: a new tape {tape} min, a tape change {change}, a move of the selector "
        f"{move}, a silence (off and on) {silence}, a ring by hand {ring}; costs in the machine's block says "
        "otherwise. Where no lower number stands beside it, no plan takes fewer minutes."
    )
