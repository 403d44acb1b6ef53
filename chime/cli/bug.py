"""What the user is told when chime itself fails: never a traceback, always what to do."""

from __future__ import annotations

import os
import sys
import traceback

from chime.diagnostics import Code

BUG = Code(
    "X901",
    "bug-in-chime",
    "error",
    "Something failed inside chime that is no fault of the programme. Nothing was written. Please report it "
    "with the programme file and the output of `chime --version`.",
    "",
    "",
)

CODES = (BUG,)


def tell_of_bug(error: BaseException) -> None:
    """Write the words of a bug to standard error; the trace is kept for those who ask for it."""
    place = traceback.extract_tb(error.__traceback__)[-1:]
    where = f" ({place[0].name}, line {place[0].lineno})" if place else ""
    lines = (
        "error X901: chime itself failed; this is no fault of your programme",
        f"  what   {type(error).__name__}{where}",
        "  why    Nothing was written. What was there before is untouched.",
        "  try    report it with the programme file and what `chime --version` says;",
        "         CHIME_TRACE=1 in the environment shows the technical trace",
    )
    sys.stderr.write("\n".join(lines) + "\n")
    if os.environ.get("CHIME_TRACE"):
        traceback.print_exception(error)
