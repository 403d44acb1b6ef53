"""How large letters are and how many fit: measures of DejaVu Sans Mono, in thousandths of the font size."""

PER_MILLE = 1000

SIGN_WIDTH = 602
"""Every sign is as wide as this."""

HALF_DIGIT = 365


def baseline(middle_nm: int, size_nm: int) -> int:
    """Return where the base line of digits lies whose middle is at a place."""
    return middle_nm + size_nm * HALF_DIGIT // PER_MILLE


def shorten(text: str, length: int) -> str:
    """Return the text, cut with an ellipsis if it is longer than so many signs."""
    return text if len(text) <= length else text[: max(0, length - 1)] + "…"
