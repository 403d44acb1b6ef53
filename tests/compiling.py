"""Compiling programme texts inside a test, with the files they use given as text."""

from collections.abc import Mapping

from chime.compiler import Checked, Compiled, check, compile_programme
from chime.diagnostics import Diagnostic, is_error
from chime.file_access import ReadFile, Unreadable
from chime.rings.model import Ring


def checked(text: str, files: Mapping[str, str | bytes] | None = None) -> Checked:
    """Check a programme text; `files` are the files it names, by path."""
    return check("test.chime", text.encode(), reader_of(files or {}))


def with_files(text: str, files: Mapping[str, str | bytes] | None = None) -> Compiled:
    """Take a programme text through all six stages, chart and all."""
    return compile_programme("test.chime", text.encode(), reader_of(files or {}))


def reader_of(files: Mapping[str, str | bytes]) -> ReadFile:
    """Return what reads these files, by path, and no other."""
    beside = {path: c.encode() if isinstance(c, str) else c for path, c in files.items()}

    def read_file(path: str) -> bytes | Unreadable:
        return beside.get(path, Unreadable("there is no such file"))

    return read_file


def compiled(text: str, files: Mapping[str, str | bytes] | None = None) -> Checked:
    """Check a programme text that must have no errors."""
    found = checked(text, files)
    assert not is_error(found.diagnostics), said(found.diagnostics)
    return found


def rings_of(text: str, files: Mapping[str, str | bytes] | None = None) -> tuple[Ring, ...]:
    """Return every ring of a programme text that must have no errors."""
    calendar = compiled(text, files).calendar
    assert calendar is not None
    return calendar.rings


def said(diagnostics: tuple[Diagnostic, ...]) -> list[str]:
    """Return faults in short: `N303 4:3 headline`."""
    places = [(d, d.primary.span) if d.primary else (d, None) for d in diagnostics]
    return [f"{d.code.id} {f'{s.line}:{s.column} ' if s else ''}{d.headline}" for d, s in places]


def codes_of(text: str, files: Mapping[str, str | bytes] | None = None) -> list[str]:
    """Return the codes of every fault of a programme text, in order of place."""
    return [d.code.id for d in checked(text, files).diagnostics]
