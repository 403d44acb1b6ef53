"""A day once the lines that act on it have worked: its marks, its rings, and which lines did something."""

from collections.abc import Iterator, Sequence

from chime.diagnostics import Span
from chime.programme.model import Add, Drop, Move, Shift, Silence
from chime.records import NamedTuple
from chime.rings.changes import Changed, Ordered, change
from chime.rings.coverage import Stands
from chime.rings.model import DayRing, Reason, labels_of
from chime.rings.shapes import Shape, Signals, causes, join, longest


class Worked(NamedTuple):
    """A day with its changes and additions: what the changes made, and every ring before any silence.

    `changes`, `adds` and `silences` are the lines that act on it, by what they do.
    """

    changes: tuple[Stands, ...]
    adds: tuple[Stands, ...]
    silences: tuple[Stands, ...]
    changed: Changed
    rings: tuple[DayRing, ...]


def work(shape: Shape, working: Sequence[Stands], signals: Signals) -> Worked:
    """Return what lines make of the shape of a day; silences by the clock are none of them."""
    changes = tuple(s for s in working if isinstance(s.special.special, Drop | Shift | Move))
    adds = tuple(s for s in working if isinstance(s.special.special, Add))
    silences = tuple(s for s in working if isinstance(s.special.special, Silence))
    changed = change(shape, [Ordered(s.special.special, s.said) for s in changes])  # type: ignore[arg-type]
    rings = join([*causes(changed.shape), *(c for s in adds for c in _added(s))], signals)
    return Worked(changes, adds, silences, changed, rings)


def silencer(ring: DayRing, silences: Sequence[Stands]) -> Stands | None:
    """Return the first line that silences the zone of a ring for the whole day."""
    return next((s for s in silences if ring.zone in (_silence(s).zones or ())), None)


def muted_zones(silences: Sequence[Stands]) -> frozenset[str]:
    """Return the zones that are silenced for the whole day."""
    return frozenset(zone for stands in silences for zone in _silence(stands).zones or ())


def _silence(stands: Stands) -> Silence:
    special = stands.special.special
    assert isinstance(special, Silence)
    return special


def _added(stands: Stands) -> list[tuple[int, str, str, Reason]]:
    """Return the rings that an `add` makes; its reason is their label."""
    special, span = addition(stands), stands.special.span
    reason = Reason(stands.special.reason, (span,), (), False, False)
    return [(at, zone, special.signal, reason) for at, _ in special.times for zone in special.zones]


def addition(stands: Stands) -> Add:
    """Return what a line adds."""
    special = stands.special.special
    assert isinstance(special, Add)
    return special


# ------------------------------------------------------------------ what certainly did something


def effective(worked: Worked, signals: Signals) -> Iterator[Span]:
    """Yield the lines that certainly change a ring: something sounds where nothing did, or nothing any more.

    Not all lines that change one: a move may beat a shift, and whether both would come to the same is not
    looked at here.
    """
    if worked.adds:
        yield from _additions(worked, signals)
    sounding = {(ring.at, ring.zone) for ring in worked.rings}
    kinds = {type(stands.special.special) for stands in worked.changes}
    for mark, ordered, _ in worked.changed.taken:
        is_alone = isinstance(ordered.change, Drop) or not {Shift, Move} <= kinds
        if is_alone and (mark.at, mark.zone) not in sounding:
            yield ordered.change.span


def _additions(worked: Worked, signals: Signals) -> Iterator[Span]:
    """Yield the lines that add a ring, a label or a longer signal to what rings without any of them."""
    before = {(r.at, r.zone): r for r in join(causes(worked.changed.shape), signals)}
    for stands in worked.adds:
        add, label = addition(stands), stands.special.reason
        for at, zone in ((at, zone) for at, _ in add.times for zone in add.zones):
            ring = before.get((at, zone))
            is_new = ring is None or longest({ring.signal, add.signal}, signals) != ring.signal
            if is_new or (label is not None and ring is not None and label not in labels_of(ring.reasons)):
                yield stands.special.span
                break
