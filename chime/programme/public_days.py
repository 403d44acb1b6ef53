"""Public holidays by region, as the `holidays` library gives them.

A region is an ISO 3166 country code, with a subdivision after a hyphen where the country has some:
`GB-ENG`, `AU-NSW`, `US`. Holidays moved to another day are included, half days and other kinds are not.
"""

import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from importlib.resources import files

_MOST_PARTS = 4
"""Parts of a country that are few enough to be suggested one by one."""


@cache
def regions() -> frozenset[str]:
    """Return every region whose public holidays are known."""
    import holidays

    countries: dict[str, list[str]] = holidays.list_supported_countries(include_aliases=False)
    parts = {f"{country}-{part}" for country, parts in countries.items() for part in parts}
    return frozenset(countries) | parts


def known_region(region: str) -> bool:
    """Tell whether the public holidays of a region are known; capitals matter."""
    return region in regions()


def public_days(region: str, first: date, last: date) -> tuple[tuple[date, str], ...]:
    """Return the public holidays of a known region from `first` to `last`, both included, sorted.

    Several holidays on one date are one, with their names joined by a comma. Names are in English where
    the library offers a choice, in the language of the region otherwise.
    """
    import holidays

    country, _, part = region.partition("-")
    found = holidays.country_holidays(
        country,
        subdiv=part or None,
        years=range(first.year, last.year + 1),
        expand=False,
        observed=True,
        language=_language(country),
        categories=holidays.PUBLIC,
    )
    days = sorted(day for day in found if first <= day <= last)
    return tuple((day, ", ".join(sorted(set(found.get_list(day))))) for day in days)


def _language(country: str) -> str | None:
    """Return the language to ask for: without one the library would look at the computer's settings."""
    import holidays

    entity = getattr(holidays, country)
    native: str | None = entity.default_language
    offered: list[str] = sorted(entity.supported_languages)
    if native is not None and native.startswith("en"):
        return native
    return next((language for language in offered if language.startswith("en")), native)


def release() -> str:
    """Return the release of the `holidays` library, such as `0.109`."""
    import holidays

    return str(holidays.__version__)


# ----------------------------------------------------------------- suggestions


def suggestions(region: str, place: str) -> tuple[str, ...]:
    """Return regions that may be meant by an unknown one: near codes, else those that fit an IANA place.

    `UK` and `GBR` are other names of `GB`. A place gives the parts of its country that its description
    in the zone data names, or else all parts, if they are few, and then the country itself.
    """
    from chime.diagnostics.suggest import nearest

    written = region.upper()
    if known_region(written):
        return (written,)
    country, hyphen, part = written.partition("-")
    usual = _canonical(country) + hyphen + part
    if known_region(usual):
        return (usual,)
    return nearest(usual, regions()) or _regions_at(place)


def _canonical(country: str) -> str:
    """Return the two letters of a country that is written in three, or as `UK`."""
    import holidays

    if not 2 <= len(country) <= 3 or country not in holidays.list_supported_countries():
        return country
    return str(getattr(holidays, country).country)


def _regions_at(place: str) -> tuple[str, ...]:
    rows = {zone: (country, described) for country, zone, described in _zone_rows()}
    found = rows.get(place) or rows.get(_link_target(place))
    if found is None or not known_region(found[0]):
        return ()
    country, described = found
    parts = sorted(each for each in regions() if each.startswith(f"{country}-"))
    named = [part for part in parts if part in _parts_named(country, described)]
    few = next((some for some in (named, parts) if 0 < len(some) <= _MOST_PARTS), [])
    return (*few, country)


def _zone_rows() -> Iterator[tuple[str, str, str]]:
    """Yield the country, the zone and the description of each row of the zone table."""
    text = (files("tzdata") / "zoneinfo" / "zone.tab").read_text(encoding="utf-8")
    for line in text.splitlines():
        if line and not line.startswith("#"):
            country, _, zone, *described = line.split("\t")
            yield country, zone, described[0] if described else ""


def _link_target(place: str) -> str:
    """Return the zone that another name stands for, such as Asia/Kolkata for Asia/Calcutta."""
    text = (files("tzdata") / "zoneinfo" / "tzdata.zi").read_text(encoding="utf-8")
    links = (line.split() for line in text.splitlines() if line.startswith("L "))
    return next((target for _, target, name in links if name == place), place)


def _parts_named(country: str, described: str) -> frozenset[str]:
    """Find the subdivisions that the description of a zone names, in words or by their codes."""
    import holidays

    aliases: dict[str, str] = getattr(holidays, country).subdivisions_aliases
    words = frozenset(re.findall(r"\b[A-Z]{2,3}\b", described))
    codes = {code for name, code in aliases.items() if re.search(rf"\b{re.escape(name)}\b", described)}
    return frozenset(f"{country}-{code}" for code in words | codes)
