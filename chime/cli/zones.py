"""Zones and groups on the command line."""

from chime.cli.misuse import offered
from chime.cli.reading import Misused, shortened
from chime.diagnostics.suggest import nearest
from chime.programme.model import Programme
from chime.programme.names import as_name


def zones_named(programme: Programme, name: str) -> tuple[str, ...]:
    """Return the zones of a name, be it a zone, a group or `everywhere`; raises Misused if it is none."""
    from chime.writers.columns import zone_order

    name, zones = as_name(name), zone_order(programme)
    groups = {group.name: group.zones for group in programme.groups} | {"everywhere": tuple(zones)}
    if name in groups:
        return tuple(zone for zone in zones if zone in groups[name])
    if name not in zones:
        offer = offered(nearest(name, (*zones, *groups)), f"there are {', '.join((*zones, *groups))}")
        raise Misused(f'there is no zone or group called "{shortened(name)}"; {offer}')
    return (name,)
