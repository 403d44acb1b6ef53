"""Every code of every stage, gathered only when somebody asks what a code means.

A module with codes has one line here. None of them is imported before a function of this module is
called, so that a sound programme is checked without loading a single explanation.
"""

from functools import cache
from importlib import import_module

from chime.diagnostics.code import Code

MODULES = (
    "chime.parsing.faults",
    "chime.parsing.typed_faults",
    "chime.programme.value_faults",
    "chime.programme.name_faults",
    "chime.programme.block_faults",
    "chime.programme.advice",
    "chime.programme.machine_faults",
    "chime.rings.change_faults",
    "chime.rings.ring_faults",
    "chime.tape.faults",
    "chime.verify.faults",
    "chime.cli.bug",
)
"""The modules that hold codes, in the order of the stages; each has a tuple called CODES."""

IN_WORDS = {
    "parsing": "reading the text",
    "programme": "names and values",
    "rings": "working out the rings",
    "tape": "laying out the tape",
    "verify": "checking rings and tape",
    "writers": "writing the outputs",
    "chime": "chime itself",
}
"""What each stage does, in the order of the stages."""


@cache
def every_code() -> tuple[Code, ...]:
    """Return every code, stage by stage and in order of its number."""
    stages = list(IN_WORDS)
    found: list[Code] = []
    for module in MODULES:
        found += import_module(module).CODES
    return tuple(sorted(found, key=lambda code: (stages.index(code.stage), code.id)))


def find(word: str) -> Code | None:
    """Return the code of a number or a slug, capitals or not; None if there is none."""
    wanted = word.casefold()
    return next((code for code in every_code() if wanted in (code.id.casefold(), code.slug)), None)


def near(word: str) -> tuple[Code, ...]:
    """Return the codes whose number or slug is clearly nearest to a word that is neither; perhaps none."""
    from chime.diagnostics.suggest import nearest

    names = {name: code for code in every_code() for name in (code.id, code.slug)}
    found = nearest(word.upper(), names) or nearest(word.casefold(), names)
    return tuple(dict.fromkeys(names[name] for name in found))
