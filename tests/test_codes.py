"""Every code's example: the wrong one gives that code and no other, the right one gives nothing."""

import ast
from importlib import import_module
from pathlib import Path

import pytest

from chime.catalogue import MODULES, every_code, find
from chime.compiler import check
from chime.diagnostics import Code, Diagnostic, Source
from chime.file_access import Unreadable
from chime.parsing.parser import read_blocks
from chime.parsing.tree import Block
from chime.tape.lay_out import lay_out

CHIME = Path(__file__).resolve().parent.parent / "chime"

FRAME = """\
programme "Frame School"
  place  Europe/London
  issue  1 on 2026-08-20
zone main  on track 1  "Main building"
signal lesson  6 s within 2 s
timetable normal  in main
  ring 08:40  lesson
week ordinary
  Mon to Fri  normal
  Sat, Sun    silent
term "Autumn"  2026-09-07 to 2026-12-18
  week ordinary
"""

NAMED = ("zone", "signal", "timetable", "week")
"""Kinds of blocks of which the frame gives one by name; of the others it gives one of the kind."""


def place_of(block: Block) -> tuple[str, str]:
    words = block.span.text.split()
    return block.kind, words[1] if block.kind in NAMED and len(words) > 1 else ""


def framed(example: str) -> str:
    """An example with those blocks of the frame that it does not say itself."""
    said = {place_of(block) for block in read_blocks(Source("example.chime", example)).blocks}
    frame = Source("frame.chime", FRAME)
    blocks = read_blocks(frame).blocks
    ends = [block.span.start for block in blocks[1:]] + [len(FRAME)]
    added = [
        FRAME[block.span.start : end]
        for block, end in zip(blocks, ends, strict=True)
        if place_of(block) not in said
    ]
    return f"{example}\n{''.join(added)}"


def faults_of(text: str, stage: str, files: dict[str, bytes] | None = None) -> list[Diagnostic]:
    return faults_of_bytes(text.encode(), stage, files or {})


def faults_of_bytes(content: bytes, stage: str, files: dict[str, bytes]) -> list[Diagnostic]:
    """Every fault up to a stage; files that a programme uses are given by name."""
    checked = check("example.chime", content, lambda path: files.get(path, Unreadable("there is no such file")))
    found = list(checked.diagnostics)
    if stage == "tape" and checked.programme is not None and checked.calendar is not None:
        found += lay_out(checked.programme, checked.calendar).diagnostics
    return found
