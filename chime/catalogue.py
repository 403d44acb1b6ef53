"""Every code of every stage, gathered only when somebody asks what a code means.

A module with codes has one line here. None of them is imported before a function of this module is
called, so that a sound programme is checked without loading a single explanation.
"""

from functools import cache
from importlib import import_module

from chime.diagnostics.code import Code

MODULES = (
    "chime.parsing.file_faults",
    "chime.parsing.faults",
    "chime.parsing.typed_faults",
    "chime.programme.value_faults",
    "chime.programme.name_faults",
    "chime.programme.block_faults",
    "chime.programme.head_faults",
    "chime.programme.timetable_faults",
    "chime.programme.pattern_faults",
    "chime.programme.special_day_faults",
    "chime.programme.advice",
    "chime.programme.machine_faults",
    "chime.programme.machine_shape_faults",
    "chime.programme.wiring_faults",
    "chime.programme.outside_faults",
    "chime.rings.change_faults",
    "chime.rings.ring_faults",
    "chime.tape.faults",
    "chime.tape.machine_faults",
    "chime.tape.duty_faults",
    "chime.verify.faults",
    "chime.verify.machine_faults",
    "chime.writers.chart_faults",
    "chime.cli.bug",
)
"""The modules that hold codes, in the order of the stages; each has a tuple called CODES."""

IN_WORDS = {
    "parsing": "while reading the text",
    "programme": "while checking names and values",
    "rings": "while working out the rings",
    "tape": "while laying out the tape",
    "verify": "while checking rings and tape",
    "writers": "while writing the outputs",
    "chime": "in chime itself",
}
"""Where a fault of each stage is found, in the order of the stages."""


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
    """Return the codes that were probably meant by a word that is none; perhaps no code at all.

    First those whose number or slug is a slip or two away. A number for which there are none, or too many
    to choose from, has the codes before and after it.
    """
    from chime.diagnostics.suggest import nearest

    named = {name: code for code in every_code() for name in (code.id, code.slug)}
    found = nearest(word.upper(), named) or nearest(word.casefold(), named)
    return tuple(dict.fromkeys(named[name] for name in found)) or _neighbours(word.upper())


def _neighbours(number: str) -> tuple[Code, ...]:
    alike = [code for code in every_code() if code.id[0] == number[:1]]
    if not (alike and len(number) == len(alike[0].id) and number[1:].isdecimal()):
        return ()
    before = [code for code in alike if code.id < number][-1:]
    after = [code for code in alike if code.id > number][:1]
    return (*before, *after)
