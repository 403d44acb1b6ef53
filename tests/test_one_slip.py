"""One slip anywhere in a sound programme: one fault on its line, and no offer called sure that is wrong.

Of every line of the reference's examples one word is left out, said twice, put in its neighbour's place, or
misspelt, in turn. A sample of that is compiled. The shares below are what the recognisers of slips reach; a
slip that makes another sound line (a name in another's place), or one whose cause nobody could tell from
two, keeps them from the whole.
"""

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from chime.diagnostics import Diagnostic, Source, is_error
from chime.parsing.expected import is_word
from chime.parsing.mend import mend
from chime.parsing.parser import read_blocks
from tests.compiling import checked
from tests.test_codes import framed
from tests.test_reference import BESIDE, examples
from tests.test_typed import shape

ONE_OF = 17
"""Of so many mutants one is compiled: enough of each kind, in a few seconds."""

TOKEN = re.compile(r'"[^"\n]*"|\w[\w:.-]*%?|\S')


class Slip(NamedTuple):
    """A text with one slip, the text before it, the number of its line, and what was done."""

    kind: str
    before: str
    after: str
    line: int

    def __str__(self) -> str:
        return f"{self.kind}: {self.after.splitlines()[self.line - 1].strip()}"


def joined(parts: list[str]) -> str:
    """Put words together again, with a space where two of them would be read as one."""
    text = ""
    for part in parts:
        glued = text[-1:].isalnum() and part[:1].isalnum()
        text += f" {part}" if glued else part
    return text


def slips_of(line: str) -> Iterator[tuple[str, str]]:
    """Yield each kind of slip at each word of a line, and the line with it."""
    said = line.split("#")[0]
    words = list(TOKEN.finditer(said))
    gaps = [said[a.end() : b.start()] for a, b in pairwise(words)]
    for number, word in enumerate(words):
        head, tail = said[: word.start()], said[word.end() :]
        yield "left out", joined([head.rstrip(" ") if number else head, tail if number else tail.lstrip()])
        yield "twice", joined([head, word.group(), " ", word.group(), tail])
        if number < len(gaps):
            after = said[words[number + 1].end() :]
            yield (
                "changed over",
                joined([head, words[number + 1].group(), gaps[number] or " ", word.group(), after]),
            )
        if word.group().isalpha() and len(word.group()) > 1 and is_word(word.group()):
            yield "misspelt", head + word.group()[1] + word.group()[0] + word.group()[2:] + tail


def all_slips() -> Iterator[Slip]:
    for example in examples("chime"):
        before = framed(example.text)
        lines = before.splitlines()
        for number, line in enumerate(example.text.splitlines()):
            for kind, slipped in slips_of(line):
                if slipped.split() != line.split("#")[0].split():
                    yield Slip(
                        kind, before, "\n".join([*lines[:number], slipped, *lines[number + 1 :]]), number + 1
                    )


def faults_of(text: str) -> tuple[Diagnostic, ...]:
    return tuple(fault for fault in checked(text, BESIDE).diagnostics if is_error((fault,)))


@cache
def refused() -> tuple[tuple[Slip, tuple[Diagnostic, ...]], ...]:
    """Return the slips of the sample that are errors, with all of these."""
    sample = [slip for number, slip in enumerate(all_slips()) if number % ONE_OF == 0]
    found = [(slip, faults_of(slip.after)) for slip in sample]
    return tuple(each for each in found if each[1])


def share(good: list[bool]) -> float:
    return sum(good) / len(good)


def test_the_sample_holds_slips_of_every_kind() -> None:
    kinds = [slip.kind for slip, _ in refused()]
    assert len(kinds) > 200
    assert {kind: kinds.count(kind) > 20 for kind in kinds} == dict.fromkeys(
        ("left out", "twice", "changed over", "misspelt"), True
    )


def test_a_slip_is_one_fault_on_its_own_line() -> None:
    odd = [
        slip
        for slip, faults in refused()
        if [f.primary and f.primary.span.line for f in faults] != [slip.line]
    ]
    assert 1 - len(odd) / len(refused()) > 0.97, [str(slip) for slip in odd]


def mended() -> Iterator[tuple[Slip, str]]:
    for slip, _ in refused():
        source = Source("a.chime", slip.after)
        offers = [
            o.certainty for fault in read_blocks(source).diagnostics for o in fault.suggestions if o.edits
        ]
        if "sure" in offers:
            yield slip, mend(source).text


def test_what_is_sure_leaves_no_fault_of_form() -> None:
    left = [(slip, text) for slip, text in mended() if read_blocks(Source("a.chime", text)).diagnostics]
    assert [str(slip) for slip, _ in left] == []


def meaning(text: str) -> list[object]:
    """What is read of a text, without its places."""
    return [
        (block.kind, block.header and shape(block.header), [shape(line) for line in block.lines])
        for block in read_blocks(Source("a.chime", text)).blocks
    ]


def test_what_is_sure_restores_what_was_said() -> None:
    found = [(slip, meaning(text) == meaning(slip.before)) for slip, text in mended()]
    assert share([is_same for _, is_same in found]) > 0.95, [str(slip) for slip, same in found if not same]
