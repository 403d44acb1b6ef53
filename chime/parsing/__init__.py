"""Stage 1: takes the text of a programme and of the files it uses, gives a syntax tree."""

from chime.parsing.files import Parsed, parse

__all__ = ["Parsed", "parse"]
