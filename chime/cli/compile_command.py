"""`chime compile FILE --out DIR`."""

import re
import sys
from decimal import Decimal
from pathlib import Path

import click

from chime.cli.completing import Folder
from chime.cli.progress import telling
from chime.cli.reading import Misused, read_main, reader_for
from chime.cli.reporting import report, report_options
from chime.cli.writing import earlier_plan, settle, write_set
from chime.compiler import Compiled, compile_programme
from chime.verify.model import Verified
from chime.writers.model import ChartChoice, PaperName
from chime.writers.verdict_words import WILL_NOT_READ, failing, not_judged, open_questions, settled


@click.command(name="compile")
@click.argument("file", type=click.Path())
@click.option(
    "--out",
    "folder",
    metavar="DIR",
    type=Folder(),
    required=True,
    help="The folder for the files; made if it is missing.",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "a3", "letter", "tabloid"]),
    default="a4",
    show_default=True,
    help="The paper of the chart's sheets.",
)
@click.option("--tape", "tapes", metavar="ID", multiple=True, help="Only this tape's chart; may be repeated.")
@click.option(
    "--rows",
    metavar="FROM-TO",
    help="Only sheets with these printed labels, such as 08:00-16:00 or 'Mon 08:00-Tue 16:00'.",
)
@click.option("--all-sheets", is_flag=True, help="Also sheets without a hole.")
@click.option(
    "--bar-measured",
    "measured",
    metavar="MM",
    help="What a bar of a printed sheet measured: the sheets are drawn anew for that printer.",
)
@click.option("--bar", metavar="MM", help="How long that bar should have been; 150 mm if it is not said.")
@click.option("--from-back", is_flag=True, help="Mirror image: sheets to punch by from the back of the tape.")
@click.option(
    "--list-only",
    is_flag=True,
    help="Only lists and calendar, no sheets to punch by; also of a machine that will not read true.",
)
@report_options
def command(
    file: str,
    folder: str,
    paper: PaperName,
    tapes: tuple[str, ...],
    rows: str | None,
    measured: str | None,
    bar: str | None,
    report_: str,
    color: str,
    *,
    all_sheets: bool,
    from_back: bool,
    list_only: bool,
    strict: bool,
) -> None:
    """Make the tape's hole lists and chart, and the calendar, of the programme in FILE.

    Either every file is written or none. Files of an earlier compile that are no longer needed are removed;
    files of others are left alone. Lists of a machine that will not read true are marked, and the exit status
    is 1.
    """
    if not folder:
        raise Misused("--out names no folder")
    if list_only:
        _refuse_sheets(rows=rows, all_sheets=all_sheets, bar_measured=measured, bar=bar, from_back=from_back)
    first_row, last_row = _read_rows(rows)
    bars = _read_bars(measured, bar)
    choice = ChartChoice(paper, all_sheets, tapes, first_row, last_row, list_only, *bars, from_back)
    settled = settle(Path(folder))
    if settled is not None:
        click.echo(f"chime: {settled}", err=True)
    with telling(f"compiling {file}"):
        compiled = compile_programme(
            file,
            read_main(file),
            reader_for(file),
            strict=strict,
            chart=choice,
            plan=earlier_plan(Path(folder)),
        )
    if report(compiled.diagnostics, report_, color, strict=strict):
        click.echo("nothing was written", err=True)
        sys.exit(1)
    if compiled.refused is not None:
        raise Misused(compiled.refused)
    for remark in write_set(Path(folder), compiled.artefacts):
        click.echo(f"chime: {remark}", err=True)
    click.echo(_summary(compiled, folder))
    if compiled.verified is not None and compiled.verified.reads() == "fails":
        sys.exit(1)


def _refuse_sheets(**options: object) -> None:
    for name, given in options.items():
        if given:
            raise Misused(f"--list-only prints no sheets; leave --{name.replace('_', '-')} out")


def _read_bars(measured: str | None, bar: str | None) -> tuple[int, int]:
    """Return what a bar should have been and what it measured, in nanometres; nothing if nobody measured."""
    if measured is None:
        if bar is not None:
            raise Misused("--bar says how long a bar should be; --bar-measured says what it measured")
        return 0, 0
    return _read_mm("--bar", bar or "150"), _read_mm("--bar-measured", measured)


def _read_mm(option: str, text: str) -> int:
    number, _, unit = text.strip().partition(" ")
    number = number.removesuffix("mm")
    if re.fullmatch(r"\d{1,4}(\.\d{1,3})?", number) and unit.strip() in ("", "mm") and Decimal(number):
        return int(Decimal(number) * 1_000_000)
    raise Misused(
        f"{option} is a length in millimetres with a point and at most three digits behind it, such as 149.6"
    )


def _read_rows(rows: str | None) -> tuple[str, str] | tuple[None, None]:
    """Return the two labels of `--rows`, before anybody knows whether there are such rows."""
    if rows is None:
        return None, None
    first, hyphen, last = (part.strip() for part in rows.replace("\N{EN DASH}", "-").partition("-"))
    if not (first and hyphen and last):
        raise Misused("--rows is two printed labels with a hyphen between them, such as 08:00-16:00")
    return first, last


def _summary(compiled: Compiled, folder: str) -> str:
    verified = compiled.verified
    assert verified is not None
    lines = [
        f"{verified.programme.name}, issue {verified.programme.issue}, fingerprint {verified.fingerprint}",
        f"{len(verified.calendar.rings):,} rings; {_tapes(compiled)}",
    ]
    lines += [f"  {Path(folder) / artefact.name}" for artefact in compiled.artefacts]
    failed = failing(verified)
    if failed:
        lines.append(f"{WILL_NOT_READ.upper()} - punch nothing from these lists:")
        lines += [f"  does not hold: {each.sentence}" for each in failed]
    lines += [f"only if {each}" for each in verified.conditions()]
    lines += _settings(verified)
    unchecked = open_questions(verified)
    held = len(settled(verified))
    if held:
        lines.append(
            "1 check of plan and machine holds" if held == 1 else f"{held} checks of plan and machine hold"
        )
    nothing = verified.counted_as_nothing()
    if nothing:
        lines.append(f"counted as nothing, for no line says them: {', '.join(nothing)}")
    if unchecked:
        lines.append("NOT YET CHECKED - do not punch from this without checking by hand:")
        lines += [f"  {words}" for words in unchecked]
    lines += [f"not judged here at all: {words}" for words in not_judged(verified)]
    return "\n".join(lines)


def _settings(verified: Verified) -> list[str]:
    """Say what is wired and set once for the whole term."""
    machine, tapes = verified.programme.machine, verified.tapes
    decided = [] if tapes is None else list(tapes.decided)
    gate = None if tapes is None else tapes.operation.gate
    if gate is None or machine is None or machine.gate is None or machine.gate.longest is None:
        return decided
    length_s, sounds_s = gate.length_us / 1_000_000, gate.sounds_us / 1_000_000
    return [*decided, f"set the gate to {length_s:g} s; a ring then sounds for {sounds_s:g} s"]


def _tapes(compiled: Compiled) -> str:
    verified = compiled.verified
    assert verified is not None
    if verified.tapes is None:
        return "no machine is described, so there is no tape"
    holes = sum(len(tape.holes) for tape in verified.tapes.tapes)
    count = len(verified.tapes.tapes)
    return f"{count} tape{'' if count == 1 else 's'}, {holes:,} holes"
