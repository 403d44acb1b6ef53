"""Dates on the command line."""

import re
from datetime import date

import click

_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


def as_date(ctx: click.Context, param: click.Parameter, value: str | None) -> date | None:
    """Return the date of an option, None where it is not given; click's callback of an option."""
    if value is None:
        return None
    if not _DATE.fullmatch(value):
        raise click.BadParameter(f'"{value}" is no date: it is written 2026-09-07', ctx, param)
    try:
        return date.fromisoformat(value)
    except ValueError:
        raise click.BadParameter(f"{value} is no date of the calendar", ctx, param) from None
