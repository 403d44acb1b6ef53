"""The verdicts in words: what nobody can say, and what holds with how much to spare."""

from chime.records import NamedTuple
from chime.verify.model import Margin, Verdict, Verified

_LARGE_MM = 10
"""From here on hundredths of a millimetre mean nothing."""


WILL_NOT_READ = "This tape will not read true"
"""What stands on every page of a chart whose machine fails a check."""


class Settled(NamedTuple):
    """A check that was made: its sentence, how much is left in the worst case, and how it stands."""

    sentence: str
    margin: str
    says: str


def open_questions(verified: Verified) -> tuple[str, ...]:
    """Return in sentences what nobody can say, and last the values that are missing."""
    unsaid = [v for v in verified.verdicts if v.verdict == "cannot say" and not v.is_beyond]
    lacks = dict.fromkeys(name for verdict in unsaid for name in verdict.lacks)
    missing = (f"For that the machine's block does not say: {', '.join(lacks)}.",) if lacks else ()
    judged = [f"Cannot say: {verdict.check}" for verdict in unsaid if verdict.lacks]
    return (*(verdict.check for verdict in unsaid if not verdict.lacks), *judged, *missing)


def not_judged(verified: Verified) -> tuple[str, ...]:
    """Return in sentences what no check looks at."""
    return tuple(verdict.check for verdict in verified.verdicts if verdict.is_beyond)


def settled(verified: Verified) -> tuple[Settled, ...]:
    """Return what holds."""
    return tuple(
        Settled(verdict.check, _margin(verdict), _raised(verdict.says))
        for verdict in verified.verdicts
        if verdict.verdict == "holds"
    )


def failing(verified: Verified) -> tuple[Settled, ...]:
    """Return what does not hold."""
    return tuple(
        Settled(verdict.check, _margin(verdict), _raised(verdict.says))
        for verdict in verified.verdicts
        if verdict.verdict == "fails"
    )


def _margin(verdict: Verdict) -> str:
    said = []
    if verdict.margin_mm is not None:
        digits = 2 if abs(verdict.margin_mm) < _LARGE_MM else 0
        said.append(f"{Margin(verdict.margin_mm).write(digits)} mm {_left(verdict.margin_mm)}")
    if verdict.margin_s is not None:
        said.append(f"{Margin(verdict.margin_s).write(1)} s {_left(verdict.margin_s)}")
    return ", ".join(said)


def _left(margin: float) -> str:
    return "to spare" if margin >= 0 else "lacking"


def _raised(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}." if words else ""
