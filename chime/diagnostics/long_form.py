"""The long form: each complaint as a block that shows the lines it is about, for people at a terminal."""

import re
from collections.abc import Iterable

from chime.diagnostics.cells import show_words, wrap
from chime.diagnostics.changes import Change, draw_changes, find_changes
from chime.diagnostics.diagnostic import Diagnostic, Label, Suggestion, count, file_of, order
from chime.diagnostics.look import Look, choose_look, paint
from chime.diagnostics.source import Source
from chime.diagnostics.strip import Frame, draw_strip, last_line
from chime.records import NamedTuple

_WORDS_WIDTH = 80
_LONGEST_HEADLINE = 240
_LONGEST_PATH = 400
_LONGEST_WORDS = 1600

_SENTENCE_END = re.compile(r"(?<=[.!?]) +(?=[A-Z])")

# Stands before the rest of what a tag says, under its first word.
_UNDER_TAG = " " * 8


class _Attempt(NamedTuple):
    """A suggestion with the lines that it would change, source by source."""

    suggestion: Suggestion
    changes: dict[Source, list[Change]]


def render(
    diagnostics: Iterable[Diagnostic], *, color: bool, ascii_only: bool, limit: int | None = 20
) -> str:
    """Draw the complaints in order, a blank line between them, at most `limit` and then a count of the rest.

    If some must be left out, warnings are left out before errors. With `ascii_only` the whole text is ASCII:
    any other character is shown by its code point. Empty if there is nothing to say.
    """
    look = choose_look(color=color, ascii_only=ascii_only)
    shown, left_out = _choose(order(diagnostics), limit)
    blocks = [_draw(diagnostic, look) for diagnostic in shown]
    if left_out:
        blocks.append(_count_the_rest(left_out, look))
    return "\n".join("".join(f"{line}\n" for line in block) for block in blocks)


def _choose(ordered: tuple[Diagnostic, ...], limit: int | None) -> tuple[list[Diagnostic], list[Diagnostic]]:
    """Part those to show from those to leave out, each in the order given."""
    worst_first = sorted(range(len(ordered)), key=lambda place: ordered[place].severity != "error")
    places = set(worst_first[:limit])
    shown = [diagnostic for place, diagnostic in enumerate(ordered) if place in places]
    left_out = [diagnostic for place, diagnostic in enumerate(ordered) if place not in places]
    return shown, left_out


def _count_the_rest(left_out: list[Diagnostic], look: Look) -> list[str]:
    errors, warnings = count(left_out)
    parts = [_plural(errors, "error")] if errors else []
    parts += [_plural(warnings, "warning")] if warnings else []
    counted = f": {' and '.join(parts)}" if parts else ""
    return [
        paint(look, "headline", f"and {len(left_out)} more{counted}"),
        paint(look, "margin", "  more  add --report line to see every one"),
    ]


def _plural(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _draw(diagnostic: Diagnostic, look: Look) -> list[str]:
    attempts = [_Attempt(each, _changes_by_source(each)) for each in diagnostic.suggestions]
    frame = Frame(look, diagnostic.severity, _number_width(diagnostic, attempts))
    drawn = [_draw_head(diagnostic, look)]
    for labels in _labels_by_source(diagnostic):
        drawn += [_draw_place(labels, look), "", *draw_strip(labels[0].span.source, labels, frame), ""]
    if not diagnostic.labels:
        drawn += [f"  at {_show_path(diagnostic.file, look)}"] if diagnostic.file else []
        drawn.append("")
    drawn += _draw_tag("why", _sentences(diagnostic.why, look)) if diagnostic.why else []
    for attempt in attempts:
        drawn += _draw_attempt(attempt, file_of(diagnostic), frame)
    drawn.append(paint(look, "margin", f"  more  chime explain {diagnostic.code.id}"))
    return drawn


def _draw_head(diagnostic: Diagnostic, look: Look) -> str:
    severity = diagnostic.severity
    headline = show_words(diagnostic.headline, most=_LONGEST_HEADLINE, ascii_only=look.ascii_only)
    kind = paint(look, severity, f"{severity} {diagnostic.code.id}")
    return f"{kind} {look.separator} {paint(look, 'headline', headline)}"


def _labels_by_source(diagnostic: Diagnostic) -> list[list[Label]]:
    """Put together the labels of each source, the primary label first of all."""
    groups: dict[Source, list[Label]] = {}
    for label in sorted(diagnostic.labels, key=lambda label: label.role != "primary"):
        groups.setdefault(label.span.source, []).append(label)
    return list(groups.values())


def _draw_place(labels: list[Label], look: Look) -> str:
    """Name the place an editor can jump to: the primary label if it is here, else the first label here."""
    label = min(labels, key=lambda label: (label.role != "primary", label.span.start))
    path = _show_path(label.span.source.name, look)
    return f"  at {path}:{label.span.line}:{label.span.column}"


def _show_path(path: str, look: Look) -> str:
    return show_words(path, most=_LONGEST_PATH, ascii_only=look.ascii_only)


def _sentences(words: str, look: Look) -> list[str]:
    """Put each sentence on a line of its own, long ones wrapped; a full stop in a quotation ends nothing."""
    sentences: list[str] = []
    for part in _SENTENCE_END.split(_show_passage(words, look)):
        if sentences and sentences[-1].count('"') % 2:
            sentences[-1] += " " + part
        else:
            sentences.append(part)
    return [line for sentence in sentences for line in wrap(sentence, _WORDS_WIDTH)]


def _show_passage(words: str, look: Look) -> str:
    return show_words(words, most=_LONGEST_WORDS, ascii_only=look.ascii_only)


def _draw_tag(tag: str, lines: list[str]) -> list[str]:
    return [f"  {tag:<4}  {lines[0]}", *(_UNDER_TAG + line for line in lines[1:])]


def _changes_by_source(suggestion: Suggestion) -> dict[Source, list[Change]]:
    sources = dict.fromkeys(edit.span.source for edit in suggestion.edits)
    found = {source: find_changes(source, suggestion.edits) for source in sources}
    return {source: changes for source, changes in found.items() if changes}


def _draw_attempt(attempt: _Attempt, file: str, frame: Frame) -> list[str]:
    suggestion, changes_by_source = attempt
    colon = ":" if changes_by_source else ""
    text = f"{_show_passage(suggestion.text, frame.look)} ({suggestion.certainty}){colon}"
    lines = wrap(text, _WORDS_WIDTH)
    drawn = [paint(frame.look, "try", line) for line in _draw_tag("try", lines)]
    for source, changes in changes_by_source.items():
        if source.name != file:
            path = _show_path(source.name, frame.look)
            drawn.append(paint(frame.look, "try", f"{_UNDER_TAG}in {path}"))
        drawn += draw_changes(changes, frame.look, frame.number_width)
    return drawn


def _number_width(diagnostic: Diagnostic, attempts: list[_Attempt]) -> int:
    numbers = [last_line(label.span) for label in diagnostic.labels]
    for attempt in attempts:
        numbers += [change.line for changes in attempt.changes.values() for change in changes]
    return len(str(max(numbers, default=1)))
