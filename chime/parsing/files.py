"""A programme and the files it uses, read into one document.

The core opens no files: it is given a reader. Paths are those of the programme's own folder tree,
with forward slashes, whatever the machine.
"""

import posixpath

from chime.diagnostics import Diagnostic, Source, Span
from chime.file_access import ReadFile, Unreadable
from chime.parsing import file_faults
from chime.parsing.parser import read_blocks
from chime.parsing.tree import Block, Document
from chime.records import NamedTuple


class Parsed(NamedTuple):
    """The document and every fault of its files."""

    document: Document
    diagnostics: tuple[Diagnostic, ...]


class _Use(NamedTuple):
    """A `use` block that is still to be followed: the file it stands in is the last of the chain."""

    block: Block
    chain: tuple[str, ...]


class _Reader:
    def __init__(self, folder: str, read_file: ReadFile) -> None:
        self.folder, self.read_file = folder, read_file
        self.blocks: list[Block] = []
        self.faults: list[Diagnostic] = []
        self.is_whole = True
        self.used: dict[str, Span] = {}
        self.waiting: list[_Use] = []

    def read(self, path: str, content: bytes) -> Source:
        """Read the main file and all that it uses, each file before what it uses."""
        source = self._take(path, content, (path,))
        # A list and no recursion: a chain of files may be as long as it likes.
        while self.waiting:
            self._use(*self.waiting.pop())
        return source

    def _take(self, path: str, content: bytes, chain: tuple[str, ...]) -> Source:
        source = Source(posixpath.join(self.folder, path), "", path)
        try:
            source = Source(source.name, content.decode("utf-8-sig"), path)
        except UnicodeDecodeError as error:
            line = content[: error.start].count(b"\n") + 1
            self.faults.append(file_faults.not_utf8(source.name, line))
            self.is_whole = False
            return source
        found = read_blocks(source)
        self.faults += found.diagnostics
        self.is_whole = self.is_whole and found.is_whole
        self.blocks += found.blocks
        self.waiting += [_Use(block, chain) for block in found.blocks[::-1] if block.kind == "use"]
        return source

    def _use(self, block: Block, chain: tuple[str, ...]) -> None:
        if block.header is None:
            self.is_whole = False
            return
        span = block.header.word("STRING").span
        written = span.text.strip('"')
        path = posixpath.normpath(posixpath.join(posixpath.dirname(chain[-1]), written.replace("\\", "/")))
        if path.startswith("../") or posixpath.isabs(path) or ":" in path or path == "..":
            self._cannot(file_faults.use_outside(span, written))
        elif path in chain:
            self._cannot(file_faults.use_circle(span, (*chain[chain.index(path) :], path)))
        elif path in self.used:
            self.faults.append(file_faults.use_twice(span, self.used[path], written))
        else:
            self.used[path] = span
            self._follow(span, path, written, chain)

    def _follow(self, span: Span, path: str, written: str, chain: tuple[str, ...]) -> None:
        content = self.read_file(path)
        if isinstance(content, Unreadable):
            self._cannot(file_faults.cannot_use(span, written, *content))
        else:
            self._take(path, content, (*chain, path))

    def _cannot(self, fault: Diagnostic) -> None:
        self.faults.append(fault)
        self.is_whole = False


def parse(file: str, content: bytes, read_file: ReadFile) -> Parsed:
    """Read a programme from the bytes of its main file; takes its name, gives the document.

    `file` is the path as the user gave it: its folder stands before the names of used files in
    complaints. `read_file` gives the bytes of a used file by its path from the main file's folder.
    """
    folder, path = posixpath.split(file.replace("\\", "/"))
    reader = _Reader(folder, read_file)
    source = reader.read(path, content)
    document = Document(source, tuple(reader.blocks), reader.is_whole)
    return Parsed(document, tuple(reader.faults))
