"""What can be wrong with the shape of lines: codes S201 to S210 and S249."""

from chime.diagnostics import Code, Diagnostic, Edit, Label, Span, Suggestion

UNEXPECTED = Code(
    "S201",
    "does-not-fit",
    "error",
    "A line follows one of the forms of its block. The marked word is the first one that no form allows.",
    "signal lesson 6 seconds_long within 2 s",
    "signal lesson 6 s within 2 s",
)
UNFINISHED = Code(
    "S202",
    "line-unfinished",
    "error",
    "The line stops before it has said everything that its form needs.",
    "signal lesson 6 s within",
    "signal lesson 6 s within 2 s",
)
NO_SUCH_LINE = Code(
    "S203",
    "no-such-line",
    "error",
    "Each kind of block has its own kinds of lines, and each line begins with a word that says which.",
    "timetable normal in main\n  ring 08:40 lesson\n  bell 08:45 lesson",
    "timetable normal in main\n  ring 08:40 lesson\n  ring 08:45 lesson",
)
NO_SUCH_BLOCK = Code(
    "S204",
    "no-such-block",
    "error",
    "A block begins in column one with a word that says what it is, such as zone, timetable or term.",
    "bell main",
    "zone main",
)
NOT_INDENTED = Code(
    "S205",
    "line-not-indented",
    "error",
    "The lines of a block are indented, by any amount; column one is for the words that open a block.",
    "timetable normal in main\nring 08:40 lesson",
    "timetable normal in main\n  ring 08:40 lesson",
)
INDENTED_BLOCK = Code(
    "S206",
    "block-indented",
    "error",
    "A word that opens a block stands in column one.",
    "timetable normal in main\n  ring 08:40 lesson\n  zone main on track 1",
    "timetable normal in main\n  ring 08:40 lesson\nzone main on track 1",
)
NO_BLOCK = Code(
    "S207",
    "line-outside-blocks",
    "error",
    "An indented line belongs to the block above it, and there is none.",
    "  ring 08:40 lesson",
    "timetable normal in main\n  ring 08:40 lesson",
)
BLOCK_HAS_NO_LINES = Code(
    "S208",
    "block-without-lines",
    "error",
    "Some blocks say everything in their first line: use, group, audience, signal, supply.",
    "signal lesson 6 s within 2 s\n  bells 3 at 420 mA each",
    "signal lesson 6 s within 2 s",
)
RESERVED_WORD = Code(
    "S210",
    "reserved-word",
    "error",
    "A few words follow where a name can stand, so they are never names: add, after, as, before, drop, everywhere, from, "
    "in, instead, like, move, shift, silent, to, until, and the weekdays Mon to Sun. All other words are free.",
    "signal to 6 s within 2 s",
    "signal bell 6 s within 2 s\ntimetable normal in main\n  ring 08:40 bell\n  ring 08:50 lesson",
)
DANGLING_COMMA = Code(
    "S209",
    "comma-too-many",
    "error",
    "A comma at the end of a line carries the list on to the next line. The next line begins something new, "
    "so the comma is one too many.",
    "timetable normal in main\n  ring 08:40 lesson in main,\n  ring 08:45 lesson",
    "timetable normal in main\n  ring 08:40 lesson in main\n  ring 08:45 lesson",
)
EMPTY_LABEL = Code(
    "S249",
    "empty-label",
    "error",
    "A label or a reason holds at least one letter, figure or sign that can be read.",
    'timetable normal in main\n  ring 08:40 lesson ""',
    "timetable normal in main\n  ring 08:40 lesson",
)

CODES = (
    UNEXPECTED,
    UNFINISHED,
    NO_SUCH_LINE,
    NO_SUCH_BLOCK,
    NOT_INDENTED,
    INDENTED_BLOCK,
    NO_BLOCK,
    BLOCK_HAS_NO_LINES,
    DANGLING_COMMA,
    RESERVED_WORD,
    EMPTY_LABEL,
)

OPENERS = (
    "programme", "use", "zone", "group", "audience", "signal", "timetable", "week", "cycle", "term",
    "exceptions", "machine", "supply", "line",
)  # fmt: skip

_A_BLOCK = {"exceptions": "the exceptions", "programme": "the programme block"}


def block_in_words(kind: str) -> str:
    """Return how a kind of block is spoken of: `a timetable`, `the exceptions`."""
    return _A_BLOCK.get(kind, f"an {kind}" if kind[0] in "aeiou" else f"a {kind}")


def unexpected(span: Span, expected: tuple[str, ...]) -> Diagnostic:
    """Say that a word does not fit, and what would."""
    if span.text == '"':
        return _no_label(span)
    if span.text.startswith('"'):
        headline = "this string does not fit here"
    elif span.source.text[: span.start].endswith('"'):
        headline = f'the label ends before "{_short(span.text)}", at a quote inside it'
    else:
        headline = f'"{_short(span.text)}" does not fit here'
    return Diagnostic(
        UNEXPECTED, headline, (Label(span, "the first that does not fit"),), _expected(expected)
    )


def _no_label(span: Span) -> Diagnostic:
    """Say that a quote begins no label: another is missing, or there is a tab or the like between them."""
    rest = span.source.text[span.end : span.source.line_bounds(span.line)[1]]
    is_open = '"' not in rest
    headline = (
        "this label has no closing quote"
        if is_open
        else "this label holds a tab or another control character"
    )
    why = (
        "A label stands on one line between two quotes, with no quote and no tab in it, so that it can be printed and "
        "exported as it is."
    )
    offers = (Suggestion("a quote where the label ends", "sketch"),) if is_open else ()
    return Diagnostic(UNEXPECTED, headline, (Label(span, "begins here"),), why, offers)


def unfinished(span: Span, expected: tuple[str, ...]) -> Diagnostic:
    """Say that a line stops too early, and what could follow."""
    return Diagnostic(
        UNFINISHED, "the line stops too early", (Label(span, "stops here"),), _expected(expected)
    )


def reserved_word(span: Span) -> Diagnostic:
    """Say that a word of the language cannot be a name."""
    return Diagnostic(
        RESERVED_WORD,
        f'"{span.text}" is a word of the language and cannot be a name',
        (Label(span, "a name is expected here"),),
        "It follows where a name can stand, so nobody could tell where the name ends.",
        (Suggestion(f"a longer name, such as {span.text.lower()}-one", "sketch"),),
    )


def no_such_line(span: Span, block: str, near: tuple[str, ...], begins: tuple[str, ...]) -> Diagnostic:
    """Say that no line of a block begins with this word."""
    return Diagnostic(
        NO_SUCH_LINE,
        f'no line of {block_in_words(block)} begins with "{_short(span.text)}"',
        (Label(span, "not a beginning"),),
        f"A line of {block_in_words(block)} begins with {_listed(begins)}.",
        tuple(Suggestion(name, "guess", (Edit(span, name),)) for name in near),
    )


def line_of_another(span: Span, block: str, home: str) -> Diagnostic:
    """Say that a line belongs to another kind of block, whose opener is probably missing."""
    start = span.source.line_bounds(span.line)[0]
    opener = (Edit(Span(span.source, start, start), f"{home}\n"),) if home == "exceptions" else ()
    offer = Suggestion(
        f"a line above it that opens {block_in_words(home)}", "guess" if opener else "sketch", opener
    )
    return Diagnostic(
        NO_SUCH_LINE,
        f"this is a line of {block_in_words(home)}, and it stands in {block_in_words(block)}",
        (Label(span, "not a beginning here"),),
        "The line that opens its block is missing above, or it stands in the wrong place.",
        (offer,),
    )


def no_such_block(span: Span, near: tuple[str, ...]) -> Diagnostic:
    """Say that no block begins with this word."""
    return Diagnostic(
        NO_SUCH_BLOCK,
        f'no block begins with "{_short(span.text)}"',
        (Label(span, "in column one"),),
        f"A block begins with {_listed(OPENERS)}; the lines of a block are indented.",
        tuple(Suggestion(name, "guess", (Edit(span, name),)) for name in near),
    )


def not_indented(span: Span, block: str) -> Diagnostic:
    """Say that a line of a block stands in column one."""
    return Diagnostic(
        NOT_INDENTED,
        f"a line of {block_in_words(block)} stands in column one",
        (Label(span, "not indented"),),
        f"It was read as a line of {block_in_words(block)}; column one is for words that open a block.",
        (Suggestion("indent it", "sure", (Edit(Span(span.source, span.start, span.start), "  "),)),),
    )


def indented_block(span: Span) -> Diagnostic:
    """Say that an opener is indented."""
    start = span.source.line_bounds(span.line)[0]
    return Diagnostic(
        INDENTED_BLOCK,
        f'"{span.text}" opens a block and must stand in column one',
        (Label(span, "indented"),),
        "It was read as the beginning of a new block.",
        (Suggestion("take the spaces away", "sure", (Edit(Span(span.source, start, span.start), ""),)),),
    )


def no_block(span: Span) -> Diagnostic:
    """Say that an indented line stands before every block."""
    return Diagnostic(
        NO_BLOCK,
        "an indented line before the first block",
        (Label(span, "belongs to no block"),),
        "An indented line says something about the block above it.",
        (Suggestion('begin with a line such as: programme "Our school"', "sketch"),),
    )


def block_has_no_lines(span: Span, block: str) -> Diagnostic:
    """Say that a block of this kind has no indented lines."""
    return Diagnostic(
        BLOCK_HAS_NO_LINES,
        f"{block_in_words(block)} has no indented lines",
        (Label(span, "not expected"),),
        "It says everything in its first line; this one was meant for another block.",
    )


def empty_label(span: Span) -> Diagnostic:
    """Say that a label holds nothing that could be read."""
    return Diagnostic(
        EMPTY_LABEL,
        "this label has nothing in it",
        (Label(span, "nothing to read here"),),
        "It would stand as a gap in calendars, lists and charts, and nobody could say what it means.",
        (Suggestion("write what it is called, or leave the label out where that is possible", "sketch"),),
    )


def dangling_comma(span: Span, following: Span) -> Diagnostic:
    """Say that a comma at the end of a line is one too many."""
    return Diagnostic(
        DANGLING_COMMA,
        "the comma at the end of this line is one too many",
        (Label(span, "carries the list on"), Label(following, "but this begins a new line", "secondary")),
        "Both lines were read as if it were not there.",
        (Suggestion("take the comma away", "sure", (Edit(span, ""),)),),
    )


def _expected(expected: tuple[str, ...]) -> str:
    if not expected:
        return ""
    return f"Expected here: {_listed(expected)}."


def _listed(words: tuple[str, ...]) -> str:
    if len(words) == 1:
        return words[0]
    return ", ".join(words[:-1]) + " or " + words[-1]


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "\N{HORIZONTAL ELLIPSIS}"
