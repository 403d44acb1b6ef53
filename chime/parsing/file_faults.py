"""What can be wrong with a file as a whole: codes F1xx."""

from chime.diagnostics import Code, Diagnostic, Edit, Label, Span, Suggestion

NOT_UTF8 = Code(
    "F102",
    "not-utf-8",
    "error",
    "A programme is a text file in the UTF-8 encoding. Save the file as UTF-8 in the editor that made it; "
    "otherwise letters with accents would be read as others.",
    "",
    "",
)
CONTROL_CHARACTER = Code(
    "F103",
    "control-character",
    "error",
    "A programme is plain text: letters, signs, spaces, tabs and line ends. An invisible control character "
    "usually comes from a copy out of another program. Delete it.",
    "",
    "",
)
LONE_CR = Code(
    "F104",
    "lone-carriage-return",
    "error",
    "Lines end with LF or CRLF. A carriage return alone is the line end of very old computers; save the "
    "file again with ordinary line ends.",
    "",
    "",
)
LINE_TOO_LONG = Code(
    "F105",
    "line-too-long",
    "error",
    "A line, with the lines that a comma carries on to, may be 10,000 characters long. Nobody can read a "
    "longer one aloud; write several lines.",
    "",
    "",
)
CANNOT_USE = Code(
    "F110",
    "cannot-use-file",
    "error",
    "`use` names a file by its path from the file it stands in, inside the folder of the programme. The file "
    "must be there and must be readable.",
    'use "no-such-machine.chime"',
    "",
)
USE_OUTSIDE = Code(
    "F111",
    "use-outside-folder",
    "error",
    "A programme may use files of its own folder and of the folders in it, no others: so a folder copied to "
    "another computer still compiles.",
    'use "../elsewhere/machine.chime"',
    "",
)
USE_CIRCLE = Code(
    "F112",
    "use-in-a-circle",
    "error",
    "A file that is being used may not use a file that uses it.",
    "",
    "",
)
USE_TWICE = Code(
    "F113",
    "used-twice",
    "error",
    "A file is used once; a second `use` of it would say each of its blocks twice.",
    "",
    "",
)

CODES = (
    NOT_UTF8,
    CONTROL_CHARACTER,
    LONE_CR,
    LINE_TOO_LONG,
    CANNOT_USE,
    USE_OUTSIDE,
    USE_CIRCLE,
    USE_TWICE,
)


def not_utf8(file: str, line: int) -> Diagnostic:
    """Say that a file's bytes are not UTF-8, from a line on."""
    return Diagnostic(
        NOT_UTF8,
        f"the file is not UTF-8 text (first at line {line})",
        why="The letters of this file cannot be told for certain, so none of it was read.",
        suggestions=(Suggestion("save it again as UTF-8", "guess"),),
        file=file,
    )


def control_character(span: Span, count: int) -> Diagnostic:
    """Say that a file holds control characters, `count` in all."""
    more = "" if count == 1 else f" (and {count - 1} more in this file)"
    return Diagnostic(
        CONTROL_CHARACTER,
        f"an invisible control character, U+{ord(span.text):04X}{more}",
        (Label(span, "here"),),
        "It would be punched, printed and exported unseen.",
        (Suggestion("delete it", "guess", (Edit(span, ""),)),),
    )


def lone_cr(span: Span, count: int) -> Diagnostic:
    """Say that lines end with a carriage return alone."""
    more = "" if count == 1 else f" ({count} in this file)"
    return Diagnostic(
        LONE_CR,
        f"a carriage return alone does not end a line{more}",
        (Label(span, "here"),),
        "Where one line ends and the next begins would be a guess, so none of this file was read.",
        (Suggestion("save the file with ordinary line ends (LF or CRLF)", "guess"),),
    )


def line_too_long(span: Span, length: int) -> Diagnostic:
    """Say that a line is too long to be read."""
    return Diagnostic(
        LINE_TOO_LONG,
        f"a line of {length:,} characters is too long to read (10,000 at most)",
        (Label(span, "begins here"),),
        "A line says one thing, and somebody must be able to read it aloud.",
        (Suggestion("write several lines", "sketch"),),
    )


def cannot_use(span: Span, path: str, reason: str, way_out: str | None = None) -> Diagnostic:
    """Say that a used file cannot be read, and what to do where that is not to name another."""
    return Diagnostic(
        CANNOT_USE,
        f'the file "{path}" cannot be used: {reason}',
        (Label(span, "used here"),),
        "Its blocks are missing, so nothing that depends on them can be checked.",
        (
            Suggestion(
                way_out or "a path from the folder of this file, such as machines/hall.chime", "sketch"
            ),
        ),
    )


def use_outside(span: Span, path: str) -> Diagnostic:
    """Say that a used file lies outside the programme's folder."""
    return Diagnostic(
        USE_OUTSIDE,
        f'"{path}" lies outside the folder of the programme',
        (Label(span, "used here"),),
        "A programme may use only files of its own folder and of the folders in it.",
        (Suggestion("copy the file into this folder and use the copy", "guess"),),
    )


def use_circle(span: Span, chain: tuple[str, ...]) -> Diagnostic:
    """Say that files use each other in a circle."""
    return Diagnostic(
        USE_CIRCLE,
        "files use each other in a circle: " + " uses ".join(chain),
        (Label(span, "closes the circle"),),
        "Each block would be said again and again without end.",
        (Suggestion("take this line out", "guess"),),
    )


def use_twice(span: Span, first: Span, path: str) -> Diagnostic:
    """Say that a file is used a second time."""
    return Diagnostic(
        USE_TWICE,
        f'the file "{path}" is used twice',
        (Label(span, "used again here"), Label(first, "used here already", "secondary")),
        "Each of its blocks would be said twice.",
        (Suggestion("take one of the two lines out", "guess"),),
    )
