"""Codes: what a fault is called, and the example that shows it."""

from typing import Literal

from chime.records import NamedTuple

Severity = Literal["error", "warning", "note"]

_STAGES = {
    "F": "parsing",
    "S": "parsing",
    "N": "programme",
    "D": "rings",
    "T": "tape",
    "V": "verify",
    "W": "writers",
    "X": "chime",
}


class Code(NamedTuple):
    """A kind of fault. A code is never used for anything else and never renumbered.

    `id` is a letter and three digits ("N303"), `slug` its name in words ("unknown-zone"). Of the two example
    programmes, `wrong` gives exactly this fault and `right` gives none.
    """

    id: str
    slug: str
    severity: Severity
    explanation: str
    wrong: str
    right: str

    @property
    def stage(self) -> str:
        """The stage that finds the fault, told by the letter; "chime" for a bug in the program itself."""
        return _STAGES[self.id[0]]
