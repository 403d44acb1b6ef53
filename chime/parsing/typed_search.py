"""The search for what a line was meant to say.

The line is held against the grammar; at the first piece that does not fit, each recogniser says
what may have been typed there instead of what; the line is mended so and held against the grammar
again. A repair counts only if the line as mended parses, so nothing here can make a line mean
what its writer did not write without the grammar agreeing. The number of attempts is bounded.
"""

from lark.exceptions import UnexpectedToken

from chime.parsing import typed_days as days
from chime.parsing import typed_faults as codes
from chime.parsing import typed_keyboard as keyboard
from chime.parsing import typed_labels as labels
from chime.parsing import typed_lists as lists
from chime.parsing import typed_names as names
from chime.parsing import typed_phrases as phrases
from chime.parsing import typed_quantities as quantities
from chime.parsing import typed_times as times
from chime.parsing import typed_words as words
from chime.parsing.expected import accepted_behind
from chime.parsing.grammar import line_parser
from chime.parsing.repair import Change, Mended, Option, Parses, Repair, carry_out, clash
from chime.parsing.typed_days import in_several_lines
from chime.parsing.typed_line import HARD_SPACE, Pieces, cut, marks, ordinary, piece_of, rendered
from chime.parsing.typed_spot import Found, Recogniser, Spot
from chime.records import NamedTuple

MOST_ATTEMPTS = 12
"""A line with more mistakes than this is not explained."""

_RECOGNISERS: tuple[Recogniser, ...] = (
    phrases.openers,
    phrases.parts,
    phrases.periods_by_name,
    keyboard.twice,
    keyboard.misspelt,
    keyboard.commas_moved,
    days.actions,
    days.every,
    days.holidays,
    days.weekdays,
    days.dates,
    days.two_dates,
    quantities.period_numbers,
    times.clocks,
    times.ranges_from,
    times.range_signs,
    times.windows,
    times.shifts,
    quantities.tolerances,
    quantities.units,
    quantities.two_quantities,
    quantities.decimal_commas,
    quantities.fractions,
    days.several_dates,
    days.silences,
    days.instead,
    names.missing_names,
    names.missing_numbers,
    keyboard.misspelt_among_others,
    lists.tracks_apart,
    lists.lists,
    lists.one_or_several,
    words.capitals,
    words.marks,
    keyboard.changed_over,
    words.words_too_many,
    labels.quotes,
    phrases.order,
    words.missing_words,
    quantities.below_nothing,
    quantities.missing_units,
    quantities.missing_tolerances,
    labels.bare_words,
    lists.missing_commas,
    phrases.added_everywhere,
    lists.commas_too_many,
)
"""Tried in this order: those that know a whole phrase before those that know a word."""


class _Reading(NamedTuple):
    """A line as mended so far, and what was found in it."""

    pieces: Pieces
    found: tuple[Found, ...]


class _Search:
    """Looks for the meaning of one line; the only state is the number of attempts made."""

    def __init__(self, typed: str, rule: str, parses: Parses, around: str) -> None:
        self.typed, self.rule, self.parses, self.around = typed, rule, parses, around
        self.attempts = 0
        self.certain: tuple[Repair, ...] = ()

    def run(self, reading: _Reading, most: int, *, may_stall: bool = True) -> Mended | None:
        """Return the line as mended, if a reading parses.

        At most so many pieces at the end may be left that do not fit: each repair must bring the search
        further, but for one that makes room for the next.
        """
        if self.attempts == MOST_ATTEMPTS:
            return None
        self.attempts += 1
        spot = self._misfit(reading.pieces)
        if spot is None:
            return self._mended(reading)
        left = len(spot.pieces) - spot.at
        if left > most or (left == most and not may_stall):
            return None
        for recogniser in _RECOGNISERS:
            for found in recogniser(spot):
                self.certain = self.certain or tuple(r for r in found.repairs if not r.options)
                further = _Reading(found.pieces, (*reading.found, found))
                mended = self.run(further, left, may_stall=left < most)
                if mended is not None:
                    return mended
        return None

    def _misfit(self, pieces: Pieces) -> Spot | None:
        text = rendered(pieces)
        try:
            line_parser().parse(text, start=self.rule)
        except UnexpectedToken as error:
            at = len(text) if error.token.type == "$END" else error.token.start_pos or 0
            accepts = accepted_behind(text[:at], self.rule)
            return Spot(self.typed, pieces, piece_of(pieces, at), accepts, self.rule, self.around)
        return None

    def _mended(self, reading: _Reading) -> Mended | None:
        typed, pieces = self.typed, reading.pieces
        finds = [in_several_lines(found, typed, pieces) if found.again else found for found in reading.found]
        repairs = [repair for found in finds for repair in found.repairs]
        repairs += [piece.slip for piece in pieces if piece.slip]
        repairs += _hard_spaces(typed, pieces, repairs)
        changes = tuple(
            change for repair in repairs for option in repair.options[:1] for change in option.changes
        )
        if not repairs or clash(changes):
            return None
        if not all(repair.options for repair in repairs) or not all(found.is_clear for found in finds):
            return Mended(_together(repairs), None)
        if carry_out(typed, changes) != rendered(pieces):
            return None
        repairs = [_checked(repair, repairs, typed, self.rule, self.parses) for repair in repairs]
        return Mended(_together(repairs), rendered(pieces), marks(pieces))


def explain(text: str, rule: str, parses: Parses, around: str) -> Mended | None:
    """Return the known mistakes of a line that does not parse, or None; `around` is the text of its file."""
    pieces = cut(text)
    if pieces and text[pieces[-1].end :].lstrip().startswith("#"):
        # A quote that is no quote hid the comment from the cutting of the file; it is none of the line's.
        text = text[: pieces[-1].end]
    search = _Search(text, rule, parses, around)
    mended = search.run(_Reading(pieces, ()), len(pieces) + 1)
    if mended is not None:
        return _doubted(mended, text, rule, parses, around)
    untold = tuple(piece.slip for piece in pieces if piece.slip and not piece.slip.options) or search.certain
    return Mended(untold, None) if untold else None


def _doubted(mended: Mended, text: str, rule: str, parses: Parses, around: str) -> Mended:
    """Return the mistakes of a line with nothing called sure that rests on a guess in the same line.

    What is sure holds alone: with it carried out, the other mistakes are left and none is new. And it does
    not go on with a list that a guess began.
    """
    certain = [
        repair for repair in mended.repairs if repair.options and repair.options[0].certainty == "sure"
    ]
    others = [repair for repair in mended.repairs if repair not in certain]
    if not certain or not others:
        return mended
    alone = carry_out(text, tuple(change for repair in certain for change in repair.options[0].changes))
    pieces = cut(alone)
    left = _Search(alone, rule, parses, around).run(_Reading(pieces, ()), len(pieces) + 1)
    holds = left is not None and sorted(r.code.id for r in left.repairs) == sorted(r.code.id for r in others)
    if holds and not any(_goes_on(repair, other) for repair in certain for other in others):
        return mended
    return mended._replace(repairs=tuple(_as_guess(repair) for repair in mended.repairs))


def _goes_on(repair: Repair, other: Repair) -> bool:
    """Say whether a repair adds a member to a list behind the guess of another repair."""
    starts = {change.start for change in repair.options[0].changes}
    return repair.code is codes.LIST_FORM and other.end in starts and bool(other.options)


def _as_guess(repair: Repair) -> Repair:
    return repair._replace(options=tuple(option._replace(certainty="guess") for option in repair.options))


def _hard_spaces(typed: str, pieces: Pieces, repairs: list[Repair]) -> list[Repair]:
    """Return the repair of all spaces between pieces that are no ordinary ones and stay."""
    taken = [(change.start, change.end) for r in repairs for o in r.options[:1] for change in o.changes]
    taken += [(piece.start, piece.end) for piece in pieces]
    inside = {offset for start, end in taken for offset in range(start, end)}
    found = [match for match in HARD_SPACE.finditer(typed) if match.start() not in inside]
    if not found:
        return []
    changes = tuple(Change(m.start(), m.end(), ordinary(m.group())) for m in found)
    return [
        Repair(
            codes.HARD_SPACE,
            found[0].start(),
            found[0].end(),
            "a space here only looks like an ordinary one",
            "It was pasted from another program; in a label it may stay, between words it is no space.",
            (Option("sure", "an ordinary space", changes),),
        )
    ]


def _checked(repair: Repair, repairs: list[Repair], typed: str, rule: str, parses: Parses) -> Repair:
    """Leave out the further options with which the line would not parse."""

    def holds(option: Option) -> bool:
        others = tuple(c for r in repairs if r is not repair for o in r.options[:1] for c in o.changes)
        changes = others + option.changes
        return not clash(changes) and parses(carry_out(typed, changes), rule)

    first, *further = repair.options
    return repair._replace(options=(first, *filter(holds, further))) if further else repair


def _together(repairs: list[Repair]) -> tuple[Repair, ...]:
    """Make one fault of the mistakes of one kind that have at most one answer each, in order of place."""
    groups: dict[tuple[str, str], list[Repair]] = {}
    alone = []
    for repair in sorted(repairs, key=lambda repair: repair.start):
        if len(repair.options) < 2:
            certainty = repair.options[0].certainty if repair.options else ""
            groups.setdefault((repair.code.id, certainty), []).append(repair)
        else:
            alone.append(repair)
    found = alone + [_one_of(group) for group in groups.values()]
    return tuple(sorted(found, key=lambda repair: (repair.start, repair.code.id)))


def _one_of(group: list[Repair]) -> Repair:
    first = group[0]
    if len(group) == 1:
        return first
    headline = f"{first.headline} (and {len(group) - 1} more in this line)"
    if not first.options:
        return first._replace(headline=headline)
    options = [repair.options[0] for repair in group]
    texts = list(dict.fromkeys(option.text for option in options))
    option = Option(
        options[0].certainty,
        ", ".join(texts[:3]) + (" and so on" if len(texts) > 3 else ""),
        tuple(change for each in options for change in each.changes),
    )
    return first._replace(headline=headline, options=(option,))
