"""What a writer gives."""

from typing import NamedTuple


class Artefact(NamedTuple):
    """A file to be written: its name in the output folder and its content."""

    name: str
    content: bytes
