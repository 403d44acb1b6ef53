"""`chime begin DIR`."""

import os
import posixpath
import sys
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import NoReturn

import click
from click.core import ParameterSource

from chime.begin.first_machine import first_machine
from chime.begin.first_programme import (
    LONGEST_TERM,
    SHORTEST_TERM,
    Plan,
    first_programme,
    programme_of_times,
)
from chime.begin.next_year import ToDo, carry_over
from chime.begin.pasted_times import Problem, TimesRead, read_times
from chime.cli.completing import Folder, places
from chime.cli.dates import as_date
from chime.cli.misuse import offered
from chime.cli.reading import Misused, read_main, reader_for, shortened
from chime.cli.reporting import report
from chime.diagnostics import Source
from chime.file_access import Unreadable
from chime.parsing import parse
from chime.parsing.tree import Block, Document
from chime.records import NamedTuple

PROGRAMME = "programme.chime"
MACHINE = "machine.chime"

LONGEST_NAME = 200


class NewFile(NamedTuple):
    """A file to write: its path from the folder, with forward slashes, and its bytes."""

    path: str
    content: bytes


@click.command(name="begin")
@click.argument("folder", metavar="DIR", type=Folder())
@click.option(
    "--place",
    metavar="PLACE",
    default="Europe/London",
    show_default=True,
    shell_complete=places,
    help="The time zone of the IANA list whose clocks the times are.",
)
@click.option(
    "--name", metavar="NAME", default="Our school", show_default=True, help="Whose bells these are."
)
@click.option(
    "--first",
    metavar="DATE",
    callback=as_date,
    default="2026-09-07",
    show_default=True,
    help="The first day of the term.",
)
@click.option(
    "--last",
    metavar="DATE",
    callback=as_date,
    default="2026-12-18",
    show_default=True,
    help="The last day of the term.",
)
@click.option(
    "--times",
    "table",
    metavar="CSV",
    type=click.Path(),
    help="Begin from a table of times: rows of time, zone, label, signal; all but the time may be missing.",
)
@click.option(
    "--from",
    "old",
    metavar="OLD.chime",
    type=click.Path(),
    help="Begin next year's programme from this year's: all but the dates is carried over.",
)
@click.pass_context
def command(
    ctx: click.Context,
    folder: str,
    place: str,
    name: str,
    first: date,
    last: date,
    table: str | None,
    old: str | None,
) -> None:
    """Write a first programme and machine into DIR, with every line explained, to be changed into yours.

    DIR is made if it is missing. No file that is there is ever replaced.
    """
    if not folder:
        raise Misused("DIR is empty: name a folder, or write . for the one you are in")
    if old is not None:
        _refuse_beside_from(ctx)
        _begin_from(folder, old)
        return
    plan = _plan(name, place, first, last)
    files = _first_files(plan) if table is None else _files_of_times(plan, table)
    _check(folder, files)
    _write_new(Path(folder), files)
    click.echo(_first_words(folder, files))


def _plan(name: str, place: str, first: date, last: date) -> Plan:
    from chime import zone_time
    from chime.diagnostics.suggest import nearest

    if '"' in name or not name.isprintable() or not name.strip():
        raise Misused("a name has one letter at least, no double quotes and no invisible characters")
    if len(name) > LONGEST_NAME:
        raise Misused(f"a name has {LONGEST_NAME} letters at most, and not {len(name):,}")
    if place not in zone_time.places():
        offer = offered(nearest(place, zone_time.places()), "a place is written like Europe/London")
        raise Misused(f'there is no time zone called "{shortened(place)}"; {offer}')
    if not SHORTEST_TERM <= (last - first).days <= LONGEST_TERM:
        raise Misused(f"a first term runs from four weeks to two years; {first} to {last} does not")
    if first.year < 1900 or last.year > 2200:
        raise Misused(f"{first} to {last} cannot be meant")
    return Plan(name, place, first, last)


def _first_files(plan: Plan) -> list[NewFile]:
    return [
        NewFile(PROGRAMME, first_programme(plan).encode()),
        NewFile(MACHINE, first_machine().encode()),
    ]


def _files_of_times(plan: Plan, table: str) -> list[NewFile]:
    content = read_main(table)
    try:
        read = read_times(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        read = TimesRead(None, (Problem(0, "it is not UTF-8 text; save it again as CSV in UTF-8"),))
    if read.pasted is None:
        for problem in read.problems:
            place = f"{table}:{problem.line}" if problem.line else table
            click.echo(f"{place}: {problem.reason}", err=True)
        _end_with_nothing()
    return [
        NewFile(PROGRAMME, programme_of_times(plan, read.pasted).encode()),
        NewFile(MACHINE, first_machine(len(read.pasted.zones)).encode()),
    ]


def _end_with_nothing() -> NoReturn:
    click.echo("nothing was written", err=True)
    sys.exit(1)


def _check(folder: str, files: list[NewFile]) -> None:
    """Show what `chime check` would say of files that are still to be written; an error ends the command."""
    from chime.compiler import check

    contents: dict[str, bytes | Unreadable] = {file.path: file.content for file in files}
    missing = Unreadable("there is no such file")
    checked = check(
        posixpath.join(folder, PROGRAMME), files[0].content, lambda path: contents.get(path, missing)
    )
    if report(checked.diagnostics, "long", "auto", strict=False):
        _end_with_nothing()


def _first_words(folder: str, files: list[NewFile]) -> str:
    programme = Path(folder) / PROGRAMME
    return "\n".join(
        (
            *(f"  {Path(folder) / file.path}" for file in files),
            "Change the times and dates into your own, and after each change run",
            f"  chime check {programme}",
            "Every number of the machine is assumed: measure your own before anything is punched.",
            "Programme bells are never an alarm signal.",
        )
    )


# ------------------------------------------------------------------------------ next year


def _refuse_beside_from(ctx: click.Context) -> None:
    for option, said in (
        ("place", "place"),
        ("name", "name"),
        ("first", "first"),
        ("last", "last"),
        ("table", "times"),
    ):
        if ctx.get_parameter_source(option) is not ParameterSource.DEFAULT:
            raise Misused(
                f"--{said} has no meaning beside --from: what the old programme says is carried over"
            )


def _begin_from(folder: str, old: str) -> None:
    """Write next year's programme, and the files that it uses, without their dates."""
    content, read_file = read_main(old), reader_for(old)
    used: dict[str, bytes] = {}

    def note_used(path: str) -> bytes | Unreadable:
        found = read_file(path)
        if not isinstance(found, Unreadable):
            used[path] = found
        return found

    parsed = parse(old, content, note_used)
    if report(parsed.diagnostics, "long", "auto", strict=False):
        click.echo("put these right first, so that no date is overlooked", err=True)
        _end_with_nothing()
    if PROGRAMME in used:
        raise Misused(f"{old} uses a file called {PROGRAMME}; that is the name of the new programme")
    files, left = _carried(parsed.document, used, os.path.basename(old))
    _write_new(Path(folder), files)
    click.echo(_next_words(folder, old, files, left))


def _carried(
    document: Document, used: dict[str, bytes], came_from: str
) -> tuple[list[NewFile], list[tuple[str, ToDo]]]:
    blocks: dict[str, list[Block]] = {}
    sources = {document.main.path: document.main}
    for block in document.blocks:
        sources[block.span.source.path] = block.span.source
        blocks.setdefault(block.span.source.path, []).append(block)
    files: list[NewFile] = []
    left: list[tuple[str, ToDo]] = []
    for path in (document.main.path, *used):
        new_path = PROGRAMME if path == document.main.path else path
        # A file of notes alone has no block to be known by.
        source = sources.get(path) or Source(path, used[path].decode("utf-8-sig"))
        carried = carry_over(
            source, blocks.get(path, []), came_from=came_from if new_path == PROGRAMME else path
        )
        files.append(NewFile(new_path, carried.text.encode()))
        left += [(new_path, each) for each in carried.left]
    return files, left


def _next_words(folder: str, old: str, files: list[NewFile], left: list[tuple[str, ToDo]]) -> str:
    lines = [f"carried over from {old}, without its dates:"]
    lines += [f"  {Path(folder) / file.path}" for file in files]
    lines.append(
        "left to do, at each line:" if left else "no line held a date: look whether that can be right"
    )
    lines += [f"  {Path(folder) / path}:{each.line}: {each.what} (was: {each.was})" for path, each in left]
    lines += [
        "When all is filled in, run",
        f"  chime check {Path(folder) / PROGRAMME}",
        "Keep the old programme with its tape, chart and proof; compare old and new before you punch.",
    ]
    return "\n".join(lines)


# --------------------------------------------------------------------------------- writing


def _write_new(folder: Path, files: list[NewFile]) -> None:
    """Write files that are not there yet, all of them or none; raises Misused with nothing changed."""
    places = [(folder / file.path, file.content) for file in files]
    for place, _ in places:
        if os.path.lexists(place):
            raise Misused(f"{place} is there already; nothing was written")
    made: list[Path] = []
    try:
        for place, content in places:
            _make_folders(place.parent, made)
            with place.open("xb") as file:
                made.append(place)
                file.write(content)
    except BaseException as error:
        for each in reversed(made):
            with suppress(OSError):
                each.rmdir() if each.is_dir() else each.unlink()
        if isinstance(error, OSError):
            raise Misused(f"cannot write to {folder}: {_in_words(error)}; nothing was written") from error
        raise


def _make_folders(folder: Path, made: list[Path]) -> None:
    for each in (*reversed(folder.parents), folder):
        if not each.is_dir():
            each.mkdir()
            made.append(each)


def _in_words(error: OSError) -> str:
    if isinstance(error, FileExistsError | NotADirectoryError):
        return "a file is in its place"
    return os.strerror(error.errno).lower() if error.errno else str(error)
