"""`chime tidy FILE...`."""

import sys

import click

from chime.cli.reading import read_main, read_standard_input
from chime.cli.reporting import report, report_options
from chime.cli.rewriting import rewrite
from chime.diagnostics import Diagnostic, Source, order
from chime.parsing import file_faults
from chime.parsing.mend import mend
from chime.parsing.parser import read_blocks
from chime.parsing.tidy import tidy
from chime.records import NamedTuple

STANDARD_INPUT = "-"


class _Tidied(NamedTuple):
    """A file put in order: its content before and after, what was mended, the faults before and after."""

    before: bytes
    after: bytes
    mended: tuple[tuple[int, str], ...]
    faults_before: tuple[Diagnostic, ...]
    faults_after: tuple[Diagnostic, ...]


@click.command(name="tidy")
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(allow_dash=True))
@click.option("--check", "only_check", is_flag=True, help="Write nothing; fail if a file would change.")
@click.option("--mend", "mends", is_flag=True, help="First carry out every offer of a fault that is sure.")
@report_options
def command(
    files: tuple[str, ...],
    report_: str,
    color: str,
    *,
    only_check: bool,
    mends: bool,
    strict: bool,
) -> None:
    """Put the spacing of each FILE in order; - reads standard input and writes standard output.

    What a programme says is never changed, and lines with a fault stay as they are.
    """
    names = tuple(dict.fromkeys(files))
    read = [(name, _content(name)) for name in names]
    diagnostics: list[Diagnostic] = []
    would_change = False
    for name, content in read:
        tidied = _tidied(_shown(name), content, mends=mends)
        if not only_check:
            _put(name, tidied)
        _tell(_shown(name), tidied, only_check=only_check, aside=STANDARD_INPUT in names)
        would_change = would_change or tidied.after != content
        diagnostics += tidied.faults_before if only_check else tidied.faults_after
    failed = report(order(diagnostics), report_, color, strict=strict)
    if failed or (only_check and would_change):
        sys.exit(1)


def _content(name: str) -> bytes:
    return read_standard_input() if name == STANDARD_INPUT else read_main(name)


def _shown(name: str) -> str:
    return "standard input" if name == STANDARD_INPUT else name


def _tidied(name: str, content: bytes, *, mends: bool) -> _Tidied:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        fault = file_faults.not_utf8(name, content[: error.start].count(b"\n") + 1)
        return _Tidied(content, content, (), (fault,), (fault,))
    source = Source(name, text)
    mended = mend(source) if mends else None
    after = tidy(Source(name, mended.text) if mended else source)
    return _Tidied(
        content,
        after.encode("utf-8"),
        mended.done if mended else (),
        read_blocks(source).diagnostics,
        read_blocks(Source(name, after)).diagnostics,
    )


def _tell(name: str, tidied: _Tidied, *, only_check: bool, aside: bool) -> None:
    """Say what was done to a file, or would be; `aside` where standard output is taken."""
    would = "would be " if only_check else ""
    for line, headline in tidied.mended:
        click.echo(f"{name}:{line} {would}mended: {headline}", err=aside)
    if tidied.after != tidied.before:
        click.echo(f"{name} {would or 'was '}tidied", err=aside)


def _put(name: str, tidied: _Tidied) -> None:
    if name == STANDARD_INPUT:
        sys.stdout.buffer.write(tidied.after)
        sys.stdout.buffer.flush()
    elif tidied.after != tidied.before:
        rewrite(name, tidied.after)
