"""How the core is given the content of files: it opens none itself."""

from collections.abc import Callable

from chime.records import NamedTuple


class Unreadable(NamedTuple):
    """Why a file cannot be read, in a few words, and what to do if it is not to name another file."""

    reason: str
    way_out: str | None = None


ReadFile = Callable[[str], bytes | Unreadable]
"""Gives the bytes of a file by its path from the folder of the main file, with forward slashes."""
