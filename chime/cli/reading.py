"""Reading a programme and the files it uses from disk."""

import os
from pathlib import Path

import click

from chime.parsing import ReadFile, Unreadable

MOST_BYTES = 64 * 1024 * 1024
"""A larger file is no programme."""


class Misused(click.ClickException):
    """The command cannot run as it was called; exit status 2."""

    exit_code = 2

    def show(self, file: object = None) -> None:
        """Write one line to standard error."""
        del file
        click.echo(f"chime: {self.message}", err=True)


def read_main(path: str) -> bytes:
    """Return the bytes of the file named on the command line, or say why it cannot be read."""
    content = _read(Path(path))
    if isinstance(content, Unreadable):
        raise Misused(f"cannot read {path}: {content.reason}")
    return content


def reader_for(path: str) -> ReadFile:
    """Return a reader of the files beside the main file; none outside its folder is opened."""
    folder = Path(path).resolve().parent

    def read_file(inner: str) -> bytes | Unreadable:
        place = (folder / inner).resolve()
        if not place.is_relative_to(folder):
            return Unreadable("it lies outside the folder of the programme")
        return _read(place)

    return read_file


def _read(path: Path) -> bytes | Unreadable:
    try:
        if path.is_dir():
            return Unreadable("it is a folder")
        if path.exists() and not path.is_file():
            return Unreadable("it is not an ordinary file")
        if path.exists() and path.stat().st_size > MOST_BYTES:
            return Unreadable("it is larger than 64 MiB")
        return path.read_bytes()
    except (OSError, ValueError) as error:
        return Unreadable(_in_words(error))


def _in_words(error: Exception) -> str:
    if isinstance(error, FileNotFoundError):
        return "there is no such file"
    if isinstance(error, PermissionError):
        return "its permissions forbid it"
    number = getattr(error, "errno", None)
    return os.strerror(number).lower() if isinstance(number, int) else "its name is no file name"
