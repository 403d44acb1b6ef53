"""Dates on the command line."""

import re
from datetime import date

import click

from chime.cli.reading import Misused, shortened
from chime.clock import WEEKDAYS, weekday_of, write_date

_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
_FORM = "it is written 2026-12-01, or Tue 2026-12-01"


def as_date(ctx: click.Context, param: click.Parameter, value: str | None) -> date | None:
    """Return the date of an option, None where it is not given; click's callback of an option."""
    del ctx
    if value is None:
        return None
    try:
        return read_date(value)
    except Misused as error:
        raise Misused(f"{param.opts[0]}: {error.message}") from None


def read_date(text: str) -> date:
    """Return the date of `2026-12-01` or `Tue 2026-12-01`; raises Misused where the weekday is another."""
    words = text.split()
    weekday = _weekday(words.pop(0)) if words and words[0].isalpha() else None
    if len(words) != 1:
        # A weekday alone, or more than a date.
        raise Misused(
            f'"{shortened(text)}" is no date: {_FORM}' if text.strip() else f"no date is given: {_FORM}"
        )
    (word,) = words
    if not _DATE.fullmatch(word):
        raise Misused(f'"{shortened(word)}" is no date: {_FORM}')
    try:
        day = date.fromisoformat(word)
    except ValueError:
        raise Misused(f"{word} is no date of the calendar") from None
    if weekday is not None and weekday != weekday_of(day):
        raise Misused(f"{word} is not a {weekday}: it is {write_date(day)}")
    return day


def _weekday(word: str) -> str:
    if word in WEEKDAYS:
        return word
    short = word[:3].capitalize()
    if short in WEEKDAYS:
        raise Misused(f'a weekday is written {short}, not "{shortened(word)}"')
    raise Misused(f'"{shortened(word)}" is no date: {_FORM}')
