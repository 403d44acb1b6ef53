"""Reading a programme and the files it uses from disk."""

import os
import stat
import sys
from contextlib import suppress

import click

from chime.file_access import ReadFile, Unreadable

MOST_BYTES = 64 * 1024 * 1024
"""A larger file is no programme."""


_MOST_SHOWN = 60


class Misused(click.ClickException):
    """The command cannot run as it was called; exit status 2."""

    exit_code = 2

    def show(self, file: object = None) -> None:
        """Write one line to standard error, also where a file's name would break it."""
        del file
        letters = (c if c.isprintable() else c.encode("unicode_escape").decode() for c in self.message)
        with suppress(OSError):  # standard error may lead nowhere; the exit status still tells
            click.echo(f"chime: {''.join(letters)}", err=True)


def shortened(word: str) -> str:
    """Return somebody's word, of a very long one only the beginning."""
    return word if len(word) <= _MOST_SHOWN else f"{word[:_MOST_SHOWN]}..."


def read_main(path: str) -> bytes:
    """Return the bytes of the file named on the command line, or say why it cannot be read."""
    if not path:
        raise Misused("the name of the file is empty")
    if path == "-":
        raise Misused(
            "cannot read standard input: save it as a file and name that; a file called - is written ./-"
        )
    content = _read(path)
    if isinstance(content, Unreadable):
        from chime.cli.near_files import offer

        raise Misused(f"cannot read {path}: {content.reason}{offer(path)}")
    return content


def read_standard_input() -> bytes:
    """Return the bytes of standard input, or say why it cannot be read."""
    try:
        # None where it was closed by whoever called.
        content = sys.stdin.buffer.read(MOST_BYTES + 1) if sys.stdin is not None else None
    except OSError as error:
        raise Misused(f"cannot read standard input: {_in_words(error)}") from None
    if content is None:
        raise Misused("cannot read standard input: it is closed")
    if len(content) > MOST_BYTES:
        raise Misused("cannot read standard input: it is larger than 64 MiB")
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
            return Unreadable("it is a folder", "name a file that lies in it")
        if not stat.S_ISREG(mode.st_mode):
            return Unreadable("it is not an ordinary file")
        if mode.st_size > MOST_BYTES:
            return Unreadable("it is larger than 64 MiB")
        with open(path, "rb") as file:
            return file.read()
    except PermissionError:
        way_out = "let it be read: only its owner, or who keeps the computer, can change that"
        return Unreadable("its permissions forbid it", way_out)
    except (OSError, ValueError) as error:
        return Unreadable(_in_words(error))


def _in_words(error: Exception) -> str:
    if isinstance(error, FileNotFoundError):
        return "there is no such file"
    if isinstance(error, NotADirectoryError):
        return "a part of its path is a file and no folder"
    number = getattr(error, "errno", None)
    return os.strerror(number).lower() if isinstance(number, int) else "its name is no file name"
