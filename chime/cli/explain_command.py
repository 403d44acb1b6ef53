"""`chime explain [CODE]`."""

import sys
import textwrap

import click

from chime.catalogue import IN_WORDS, every_code, find, near
from chime.cli.completing import codes
from chime.cli.reading import Misused, shortened
from chime.diagnostics.cells import lay
from chime.diagnostics.code import Code

WIDTH = 78
"""Columns of an explanation."""


@click.command(name="explain")
@click.argument("code", required=False, shell_complete=codes)
def command(code: str | None) -> None:
    """Say what CODE means, by its number or its name, with an example; without CODE, list them all."""
    if code is None:
        _show(_listed())
        return
    found = find(code)
    if found is None:
        raise Misused(_unknown(code))
    _show(_explained(found))


def _unknown(word: str) -> str:
    offers = [f"{code.id} ({code.slug})" for code in near(word)]
    offer = f"the nearest: {', '.join(offers)}" if offers else "`chime explain` lists them all"
    return f'there is no code "{shortened(word)}"; {offer}'


def _explained(code: Code) -> list[str]:
    lines = [
        f"{code.id}  {code.slug}",
        f"{code.severity}, found {IN_WORDS[code.stage]}",
        "",
        *textwrap.wrap(code.explanation, WIDTH, break_long_words=False, break_on_hyphens=False),
    ]
    if code.wrong:
        lines += ["", "wrong:", "", *_indented(code.wrong)]
    if code.right:
        lines += ["", "right:", "", *_indented(code.right)]
    return lines


def _indented(example: str) -> list[str]:
    return [f"    {line}".rstrip() for line in example.rstrip("\n").split("\n")]


def _listed() -> list[str]:
    lines: list[str] = []
    for stage, where in IN_WORDS.items():
        codes = [code for code in every_code() if code.stage == stage]
        if codes:
            lines += ["", f"found {where}:"] if lines else [f"found {where}:"]
            lines += [f"  {code.id}  {code.severity:<7}  {code.slug}" for code in codes]
    return [*lines, "", "chime explain CODE says what one of them means."]


def _show(lines: list[str]) -> None:
    """Write lines; a space that only looks like one, or a letter that cannot be written, is made visible."""
    text = "\n".join(lines)
    try:
        text.encode(sys.stdout.encoding or "ascii")
        ascii_only = False
    except (UnicodeEncodeError, LookupError):
        ascii_only = True
    click.echo("\n".join(lay(line, ascii_only=ascii_only).shown for line in lines))
