"""What the rest of a file says that a repair may need: its terms and its place."""

import re
from functools import lru_cache

_TERM = re.compile(
    r'^term[ \t]+"[^"\n]*"[ \t]+(?:[A-Z][a-z]{2}[ \t]+)?(\d{4}-\d\d-\d\d)'
    r"[ \t]+to[ \t]+(?:[A-Z][a-z]{2}[ \t]+)?(\d{4}-\d\d-\d\d)",
    re.MULTILINE | re.ASCII,
)
_ZONE = re.compile(r'^(?:zone|group)[ \t]+([^\s",#]+)', re.MULTILINE)
_PLACE = re.compile(r"^[ \t]+place[ \t]+([A-Za-z][\w+/-]*)", re.MULTILINE | re.ASCII)

# Where the public holidays differ within a country, the code is that of the part the place lies in.
_CODES = {
    "AU-NSW": "Australia/Sydney Australia/Broken_Hill",
    "AU-NT": "Australia/Darwin",
    "AU-QLD": "Australia/Brisbane Australia/Lindeman",
    "AU-SA": "Australia/Adelaide",
    "AU-TAS": "Australia/Hobart",
    "AU-VIC": "Australia/Melbourne",
    "AU-WA": "Australia/Perth Australia/Eucla",
    "AT": "Europe/Vienna",
    "BE": "Europe/Brussels",
    "CA-AB": "America/Edmonton",
    "CA-BC": "America/Vancouver",
    "CA-MB": "America/Winnipeg",
    "CA-NL": "America/St_Johns",
    "CA-NS": "America/Halifax",
    "CA-ON": "America/Toronto",
    "CA-SK": "America/Regina",
    "CH": "Europe/Zurich",
    "CZ": "Europe/Prague",
    "DE": "Europe/Berlin",
    "DK": "Europe/Copenhagen",
    "ES": "Europe/Madrid",
    "FI": "Europe/Helsinki",
    "FR": "Europe/Paris",
    "GB-ENG": "Europe/London",
    "GR": "Europe/Athens",
    "HU": "Europe/Budapest",
    "IE": "Europe/Dublin",
    "IN": "Asia/Kolkata",
    "IT": "Europe/Rome",
    "JP": "Asia/Tokyo",
    "NL": "Europe/Amsterdam",
    "NO": "Europe/Oslo",
    "NZ": "Pacific/Auckland",
    "PL": "Europe/Warsaw",
    "PT": "Europe/Lisbon",
    "SE": "Europe/Stockholm",
    "SG": "Asia/Singapore",
    "US": "America/New_York America/Chicago America/Denver America/Los_Angeles America/Detroit America/Boise "
    "America/Anchorage America/Phoenix Pacific/Honolulu",
    "ZA": "Africa/Johannesburg",
}
HOLIDAY_CODES = {place: code for code, places in _CODES.items() for place in places.split()}
"""The code of the public holidays at some places; a guess, since a place may lie in two parts."""


@lru_cache(maxsize=1)
def terms_in(text: str) -> tuple[tuple[str, str], ...]:
    """Return the first and the last date of each term of a file's text."""
    return tuple((match[1], match[2]) for match in _TERM.finditer(text))


def is_zone_in(text: str, name: str) -> bool:
    """Say whether a file's text declares a zone or a group of a name."""
    return name in _zones_in(text)


@lru_cache(maxsize=1)
def _zones_in(text: str) -> frozenset[str]:
    return frozenset(match[1] for match in _ZONE.finditer(text))


@lru_cache(maxsize=1)
def holiday_code_in(text: str) -> str | None:
    """Return the code of the public holidays where a file's text says it is, if that is known."""
    match = _PLACE.search(text)
    return HOLIDAY_CODES.get(match[1]) if match else None
