"""The machine sheet: what is known of a machine, what is missing, and which checks hang on it."""

from collections.abc import Iterable

from chime.verify.model import MachineSheet, SheetValue, Verdict
from chime.writers.columns import align, fold, number, visible, words_of

_CAUTIONS = (
    "Switch off and lock off before anything is opened: there can be mains in the case. Old wires may be",
    "insulated with asbestos or crumbling rubber, and old contacts may hold mercury. Wiring is work for a",
    "licensed person, and local codes come first. A bell programme is never an alarm signal.",
)


def write_machine(sheet: MachineSheet) -> str:
    """Write the sheet of a machine."""
    said = [value for value in sheet.values if value.status != "absent"]
    missing = [value for value in sheet.values if value.status == "absent"]
    lines = [f"machine {visible(sheet.name)}", "", *_known(said)]
    lines += _missing([value for value in missing if value.is_needed])
    lines += _as_nothing([value for value in missing if not value.is_needed])
    lines += ["", "what can be said of any tape of this machine:", *_verdicts(sheet.verdicts)]
    if sheet.of_tapes:
        lines += ["", "what each tape is asked besides, when it is laid out:"]
        lines += [f"  {sentence}" for sentence in sheet.of_tapes]
    return "\n".join([*lines, "", *_CAUTIONS]) + "\n"


def _known(values: list[SheetValue]) -> list[str]:
    if not values:
        return ["nothing is known of it yet"]
    rows = [(value.name, visible(value.written), value.status, _resting(value)) for value in values]
    return ["what is known:", *(f"  {line}" for line in align(rows))]


def _resting(value: SheetValue) -> str:
    return number(len(value.checks), "check") if value.checks else "no check rests on it"


def _missing(values: list[SheetValue]) -> list[str]:
    if not values:
        return ["", "nothing that a check needs is missing"]
    lines = ["", "what is missing, and what cannot be said for want of it:"]
    for value in values:
        lines.append(f"  {value.name}")
        lines += [f"      {check}" for check in value.checks]
    return lines


def _as_nothing(values: list[SheetValue]) -> list[str]:
    if not values:
        return []
    names = ", ".join(value.name for value in values)
    return ["", *fold(words_of(names), "not said, and counted as nothing: ", " ")]


def _verdicts(verdicts: Iterable[Verdict]) -> list[str]:
    lines = []
    for verdict in verdicts:
        lines.append(f"  {verdict.verdict:<10}  {verdict.check}")
        if verdict.says:
            lines += fold(words_of(verdict.says), "              ", " ")
        if verdict.verdict == "fails":
            lines += [f"              at {place}" for place in _places(verdict)]
    return lines


def _places(verdict: Verdict) -> list[str]:
    """Return the value with the largest part in a failure, or else all that are said, as `file:line`."""
    spans = verdict.because if verdict.at is None else (verdict.at,)
    return sorted({f"{span.source.path}:{span.line}" for span in spans})
