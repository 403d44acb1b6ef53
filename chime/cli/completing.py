"""What a shell is offered to complete a word: names that stand in the programme, codes, places, folders.

A programme that cannot be read has no names to offer; nothing is said of it here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

Named = tuple[str, str]
"""A word to be offered and what it means."""


class Folder(click.Path):
    """The path of a folder; a shell completes it with folders alone. Nothing is asked of it here."""

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        """Leave the folders to the shell, which knows them best."""
        from click.shell_completion import CompletionItem

        del ctx, param
        return [CompletionItem(incomplete, type="dir")]


def timetables(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the timetables of the programme in FILE."""
    del param
    return _items(_declared(ctx, "timetable"), incomplete)


def zones(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the zones and groups of the programme in FILE."""
    del param
    found = list(_declared(ctx, "zone", "group"))
    return _items([*found, ("everywhere", "every zone")] if found else (), incomplete)


def zone_after_time(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the zones and groups of the programme in FILE where a date and a time stand before."""
    asked = " ".join(ctx.params.get("question") or ()).split()
    # Bash takes a time apart at its colon, so that only the end of it is sure to be a word.
    is_after_time = len(asked) > 1 and not asked[-2].isalpha() and asked[-1][-1:].isdigit()
    return zones(ctx, param, incomplete) if is_after_time else []


def codes(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the codes by their numbers, or by their names where one is begun."""
    from chime.catalogue import every_code

    del ctx, param
    numbers = _items(((code.id, code.slug) for code in every_code()), incomplete.upper())
    return numbers or _items(((code.slug, code.id) for code in every_code()), incomplete)


def places(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the time zones of the IANA list."""
    from chime import zone_time

    del ctx, param
    return _items(((place, "") for place in sorted(zone_time.places())), incomplete)


def _declared(ctx: click.Context, *kinds: str) -> Iterator[Named]:
    """Yield the names that a programme declares, also where it has faults, with their labels."""
    from chime.cli.reading import Misused, read_main, reader_for
    from chime.parsing import parse
    from chime.programme.names import Names

    # Behind an option that still lacks its value the words before it are left unread.
    file = ctx.params.get("file") or "".join(ctx.args[:1])
    try:
        content = read_main(file)
    except Misused:
        return
    names = Names(parse(file, content, reader_for(file)).document)
    for kind in kinds:
        for declared in names.declared(kind):
            header = declared.block.header
            labels = header.words("STRING") if header is not None else ()
            yield declared.name, labels[0].text.strip('"') if labels else kind


def _items(named: Iterable[Named], incomplete: str) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    return [CompletionItem(name, help=said or None) for name, said in named if name.startswith(incomplete)]
