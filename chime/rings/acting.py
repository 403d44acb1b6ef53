"""What the exceptions that stand on a date make of it, before any ring is looked at."""

from collections.abc import Iterator
from datetime import date

from chime.diagnostics import Span
from chime.programme.model import Add, AsUsual, Replace, Silence
from chime.records import NamedTuple
from chime.rings.coverage import Coverage, Stands, is_for_itself


class Settled(NamedTuple):
    """What runs on a date, None for silence, and the lines that act there.

    `settling` are the lines by which it runs: the replacements that win, or `as usual` where it undoes
    some. `replacing` are all that replace the date, beaten and undone ones too, and `usual` every `as
    usual`. `working` change what runs, partial silences included. `passed` pass the date by.
    """

    runs: str | None
    settling: tuple[Stands, ...]
    replacing: tuple[Stands, ...]
    usual: tuple[Stands, ...]
    working: tuple[Stands, ...]
    passed: tuple[Stands, ...]

    @property
    def of_the_day(self) -> tuple[Stands, ...]:
        """The working lines that act on the service day and not by the clock."""
        return tuple(s for s in self.working if not is_windowed(s))

    @property
    def by_the_clock(self) -> tuple[Stands, ...]:
        """The silences that have a window."""
        return tuple(s for s in self.working if is_windowed(s))

    @property
    def is_clash(self) -> bool:
        """Whether the replacements that win want different things."""
        return len({timetable_of(s) for s in self.settling if is_replacement(s)}) > 1


def settle(coverage: Coverage, day: date, pattern: str | None) -> Settled:
    """Return what is made of a date for which the pattern gives a timetable, or silence (None)."""
    acting: list[Stands] = []
    passed: list[Stands] = []
    for stands in coverage.on(day):
        (acting if _acts(stands, coverage, day, pattern) else passed).append(stands)
    replacing = tuple(s for s in acting if is_replacement(s))
    usual = tuple(s for s in acting if isinstance(s.special.special, AsUsual))
    settling = usual if usual and replacing else winners(replacing)
    runs = timetable_of(settling[0]) if settling and not usual else pattern
    working: list[Stands] = []
    for stands in acting:
        if not isinstance(stands.special.special, Replace | AsUsual):
            (working if _works_on(stands, runs) else passed).append(stands)
    return Settled(runs, settling, replacing, usual, tuple(working), tuple(passed))


def winners(replacing: tuple[Stands, ...]) -> tuple[Stands, ...]:
    """Return the replacements that win over the others: those that say `instead`, else all."""
    return tuple(s for s in replacing if says_instead(s)) or replacing


def _acts(stands: Stands, coverage: Coverage, day: date, pattern: str | None) -> bool:
    """Say whether a line acts on a date that it stands on."""
    if coverage.passes_by(stands, day):
        return False
    return is_for_itself(stands.special.when) or pattern is not None or is_windowed(stands)


def _works_on(stands: Stands, runs: str | None) -> bool:
    """Say whether a change acts on what runs; a range adds nothing to a day that is silent."""
    adds_only = isinstance(stands.special.special, Add) and not is_for_itself(stands.special.when)
    return runs is not None or not adds_only


def decisive(settled: Settled, pattern: str | None) -> Iterator[Span]:
    """Yield the replacements, and what undoes them, without which a date would run something else.

    Lines that agree count together: each keeps its reason, and any one of them could go. A line that is
    beaten or undone counts too if it wants something else, for without it nothing would be left to
    beat or to undo.
    """
    if settled.usual:
        yield from (s.special.span for s in settled.replacing if timetable_of(s) != pattern)
        if any(timetable_of(s) != pattern for s in winners(settled.replacing)):
            yield from (s.special.span for s in settled.usual)
        return
    wanted = {timetable_of(s) for s in settled.replacing}
    has_beaten = any(not says_instead(s) for s in settled.replacing)
    for stands in settled.replacing:
        beats_nothing = says_instead(stands) and not has_beaten and not settled.is_clash
        if not beats_nothing and wanted != {pattern}:
            yield stands.special.span


def beating(settled: Settled) -> Iterator[Span]:
    """Yield the lines that say `instead` where another line replaces the date without saying so."""
    if any(not says_instead(s) for s in settled.replacing):
        yield from (s.special.span for s in settled.replacing if says_instead(s))


# ------------------------------------------------------------------- kinds of lines


def is_replacement(stands: Stands) -> bool:
    """Say whether a line replaces the whole day."""
    return isinstance(stands.special.special, Replace)


def is_windowed(stands: Stands) -> bool:
    """Say whether a line silences by the clock."""
    special = stands.special.special
    return isinstance(special, Silence) and special.window is not None


def says_instead(stands: Stands) -> bool:
    """Say whether a replacement beats those that do not say `instead`."""
    special = stands.special.special
    assert isinstance(special, Replace)
    return special.instead


def timetable_of(stands: Stands) -> str | None:
    """Return the timetable that a replacement wants, None for silence."""
    special = stands.special.special
    assert isinstance(special, Replace)
    return special.timetable
