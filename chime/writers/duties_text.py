"""What a person must do, and when: a page to hang up beside the machine."""

from collections import Counter
from datetime import date

from chime.clock import write_date
from chime.tape.model import Operation
from chime.verify.model import Verified
from chime.writers.columns import align, fold, visible, words_of
from chime.writers.duty_words import DutyLine, describe_duties, say_wiring

_KINDS = {
    "fit tape": ("tape to fit", "tapes to fit"),
    "position": ("move of the selector", "moves of the selector"),
    "bells off": ("time all bells off", "times all bells off"),
    "bells on": ("time all bells on", "times all bells on"),
    "zone off": ("time one zone off", "times one zone off"),
    "zone on": ("time one zone on", "times one zone on"),
    "ring": ("ring by hand", "rings by hand"),
    "correct clocks": ("correction of the clocks", "corrections of the clocks"),
}


def write_duties(verified: Verified, first: date | None, last: date | None) -> str:
    """Write the duties between two dates, both included, day by day; None is no limit."""
    assert verified.tapes is not None
    operation = verified.tapes.operation
    lines = describe_duties(operation.duties, first, last)
    programme = verified.programme
    heading = f"{programme.name}, issue {programme.issue}, fingerprint {verified.fingerprint}"
    said = [visible(heading), *_settings(operation), ""]
    said += _count(operation, first, last) if lines else [f"nothing is to be done{_between(first, last)}"]
    for day in sorted({line.begins_on for line in lines}):
        said += ["", write_date(day), *_day([line for line in lines if line.begins_on == day])]
    is_rung = any(duty.do == "ring" for duty in operation.duties)
    said += ["", *([_RING_RULE] if is_rung else []), *_RULES]
    return "\n".join(said) + "\n"


_RING_RULE = "A ring by hand is given at its very time."
_RULES = (
    "Each may be done at any time of its stretch, both ends included; where stretches overlap, in any order.",
    "What it costs if it is forgotten is counted until a later duty puts it right.",
    "A bell programme is never an alarm signal.",
)


def _settings(operation: Operation) -> list[str]:
    said = []
    position = operation.wirings[0].position
    if position is not None and not operation.is_moved:
        said.append(f"selector in position {position} all the time")
    if operation.is_moved:
        for wired in operation.wirings:
            said += fold(say_wiring(wired), f"position {wired.position}  ")
    if operation.gate is not None:
        closes = operation.gate.closes_us
        at = "" if closes is None else f" at {_seconds(closes)}"
        said.append(f"gate closed{at} for {_seconds(operation.gate.length_us)}")
    return said


def _seconds(amount_us: int) -> str:
    return f"{amount_us / 1_000_000:g} s"


def _count(operation: Operation, first: date | None, last: date | None) -> list[str]:
    kinds = Counter(
        duty.do
        for duty in operation.duties
        if (first is None or duty.ends.at.date() >= first) and (last is None or duty.begins.at.date() <= last)
    )
    words = [f"{count} {_KINDS[kind][count > 1]}" for kind, count in sorted(kinds.items())]
    return fold(words, f"to do{_between(first, last)}: ")


def _between(first: date | None, last: date | None) -> str:
    if first is not None and first == last:
        return f" on {write_date(first)}"
    since = "" if first is None else f" from {write_date(first)}"
    return since + ("" if last is None else f" until {write_date(last)}")


def _day(lines: list[DutyLine]) -> list[str]:
    rows = align([(line.when, visible(line.what)) for line in lines])
    said: list[str] = []
    for line, row in zip(lines, rows, strict=True):
        said += [row, *fold(words_of(visible(line.why)), "    why: ", " ")]
        if line.forgotten:
            said += fold(words_of(line.forgotten), "    if forgotten: ", " ")
    return said
