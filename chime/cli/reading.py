"""Reading a programme and the files it uses from disk."""

import os
import stat
from contextlib import suppress

import click

from chime.file_access import ReadFile, Unreadable

MOST_BYTES = 64 * 1024 * 1024
"""A larger file is no programme."""


class Misused(click.ClickException):
    """The command cannot run as it was called; exit status 2."""

    exit_code = 2

    def show(self, file: object = None) -> None:
        """Write one line to standard error, also where a file's name would break it."""
        del file
        letters = (c if c.isprintable() else c.encode("unicode_escape").decode() for c in self.message)
        with suppress(OSError):  # standard error may lead nowhere; the exit status still tells
            click.echo(f"chime: {''.join(letters)}", err=True)


def read_main(path: str) -> bytes:
    """Return the bytes of the file named on the command line, or say why it cannot be read."""
    content = _read(path)
    if isinstance(content, Unreadable):
        raise Misused(f"cannot read {path}: {content.reason}")
    return content


def reader_for(path: str) -> ReadFile:
    """Return a reader of the files beside the main file; none outside its folder is opened.

    No file is read under two names: a link that leads back would never come to an end.
    """
    main = os.path.realpath(path)
    folder, name = os.path.split(main)
    known = {main: name}

    def read_file(inner: str) -> bytes | Unreadable:
        place = os.path.realpath(os.path.join(folder, inner))
        if os.path.commonpath([folder, place]) != folder:
            return Unreadable("it lies outside the folder of the programme")
        if known.setdefault(place, inner) != inner:
            return Unreadable(f"it is {known[place]} under another name")
        return _read(place)

    return read_file


def _read(path: str) -> bytes | Unreadable:
    # os and not pathlib: importing pathlib costs a twentieth of what `check` may cost in all.
    try:
        mode = os.stat(path)
        if stat.S_ISDIR(mode.st_mode):
            return Unreadable("it is a folder")
        if not stat.S_ISREG(mode.st_mode):
            return Unreadable("it is not an ordinary file")
        if mode.st_size > MOST_BYTES:
            return Unreadable("it is larger than 64 MiB")
        with open(path, "rb") as file:
            return file.read()
    except (OSError, ValueError) as error:
        return Unreadable(_in_words(error))


def _in_words(error: Exception) -> str:
    if isinstance(error, FileNotFoundError):
        return "there is no such file"
    if isinstance(error, PermissionError):
        return "its permissions forbid it"
    number = getattr(error, "errno", None)
    return os.strerror(number).lower() if isinstance(number, int) else "its name is no file name"
