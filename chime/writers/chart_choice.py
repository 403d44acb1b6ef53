"""Which part of the chart is wanted: which tapes, and sheets of which rows."""

import re
from collections.abc import Sequence

from chime.records import NamedTuple
from chime.tape.geometry import write_label
from chime.tape.model import Tape
from chime.verify.model import Verified
from chime.writers.chart_scale import refuse_scale
from chime.writers.chart_sheets import Piece
from chime.writers.columns import joined
from chime.writers.model import ChartChoice


class Rows(NamedTuple):
    """Rows of a loop from one to another, both included, past the last row on to row 0 if need be."""

    first: int
    last: int

    def meets(self, piece: Piece) -> bool:
        """Say whether a piece shows one of the rows."""
        if self.first <= self.last:
            return self.first <= piece.last_row and piece.first_row <= self.last
        return self.first <= piece.last_row or piece.first_row <= self.last


def refuse_choice(choice: ChartChoice, verified: Verified) -> str | None:
    """Say in words why a part of the chart that is asked for does not exist; None if it does."""
    tapes = verified.tapes.tapes if verified.tapes is not None else ()
    if not tapes:
        asked = choice.tapes or choice.first_row is not None
        return "there is no tape, so there is no part of its chart to choose" if asked else None
    machine = verified.programme.machine
    pitch = None if machine is None or machine.pitch is None else machine.pitch.amount
    if refused := refuse_scale(choice, pitch):
        return refused
    known = [tape.id for tape in tapes]
    for name in choice.tapes:
        if name not in known:
            each = f"the tapes are {joined(known)}" if len(known) > 1 else f"the only tape is {known[0]}"
            return f'there is no tape "{name}"; {each}'
    for label in (choice.first_row, choice.last_row):
        if label is not None and _row_of(tapes[0], label) is None:
            return _no_such_row(tapes[0], label)
    return None


def _no_such_row(tape: Tape, label: str) -> str:
    first, last = write_label(tape, 0), write_label(tape, tape.rows - 1)
    return (
        f'no row has the label "{label}"; the labels are {first}, {write_label(tape, 1)} and so on to {last}'
    )


def chosen_tapes(choice: ChartChoice, tapes: Sequence[Tape]) -> tuple[Tape, ...]:
    """Return the tapes that are wanted, in the order of their letters."""
    return tuple(tape for tape in tapes if not choice.tapes or tape.id in choice.tapes)


def chosen_rows(choice: ChartChoice, tape: Tape) -> Rows | None:
    """Return the rows of which sheets are wanted; None is all of them."""
    if choice.first_row is None or choice.last_row is None:
        return None
    first, last = _row_of(tape, choice.first_row), _row_of(tape, choice.last_row)
    assert first is not None
    assert last is not None
    return Rows(first, last)


def chosen_pieces(choice: ChartChoice, tape: Tape, pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """Leave out the pieces without a row that is wanted; the others keep their numbers."""
    rows = chosen_rows(choice, tape)
    return pieces if rows is None else tuple(piece for piece in pieces if rows.meets(piece))


def _row_of(tape: Tape, label: str) -> int | None:
    """Return the row of a printed label, written with capitals and a leading zero or without them."""
    wanted = re.sub(r"\b(\d):", r"0\1:", " ".join(label.split()).casefold())
    labels = (write_label(tape, row).casefold() for row in range(tape.rows))
    return next((row for row, each in enumerate(labels) if each == wanted), None)
