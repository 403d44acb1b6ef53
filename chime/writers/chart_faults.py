"""What the chart cannot show: codes W7xx and their words."""

from chime.diagnostics import Code, Diagnostic, Span
from chime.diagnostics.complain import complain, sketch

_MOST_NAMED = 5

LETTER_NOT_IN_FONT = Code(
    "W701",
    "letter-not-in-font",
    "warning",
    "The chart is set in one font, which comes with chime so that every computer prints the same page. It has the "
    "letters of most alphabets of Europe and the Near East, and no others. A letter that it lacks is printed as an empty "
    "box; the calendar and the lists of holes keep the name as it is written.",
    'programme "Bell Tower 鐘樓"\n  place  Europe/London\n  issue  1 on 2026-08-20',
    'programme "Bell Tower Zhonglou"\n  place  Europe/London\n  issue  1 on 2026-08-20',
)

CODES = (LETTER_NOT_IN_FONT,)


def letter_not_in_font(span: Span, what: str, name: str, letters: tuple[str, ...]) -> Diagnostic:
    """Say which letters of a name the chart cannot print; `span` is the line that gives the name."""
    first = span.text.find(letters[0])
    place = Span(span.source, span.start + first, span.start + first + 1) if first >= 0 else span
    named = ", ".join(f'"{letter}"' for letter in letters[:_MOST_NAMED])
    more = f" and {len(letters) - _MOST_NAMED} more" if len(letters) > _MOST_NAMED else ""
    return complain(
        LETTER_NOT_IN_FONT,
        f"the chart cannot print {named}{more} of {what}",
        (place, "not in the font of the chart"),
        "Whoever punches the tape sees an empty box in its place, and cannot tell what is meant.",
        offers=sketch(f'write it in by hand on each sheet, or spell "{name}" in other letters'),
    )
