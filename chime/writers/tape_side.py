"""The side from which a tape is seen: the face that the fingers touch, or its back."""

from chime.programme.equipment import Machine


def from_back(machine: Machine) -> Machine:
    """Return a machine seen from the back of its tape, where left is right."""
    width, sprocket = machine.tape_width, machine.sprocket
    if width is None:
        return machine
    tracks = tuple(track._replace(amount=width.amount - track.amount) for track in machine.tracks)
    if sprocket is None or sprocket.from_edge is None:
        return machine._replace(tracks=tracks)
    line = sprocket.from_edge._replace(amount=width.amount - sprocket.from_edge.amount)
    return machine._replace(tracks=tracks, sprocket=sprocket._replace(from_edge=line))
