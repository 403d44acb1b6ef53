"""The text of a first machine: every value assumed, with a note of how it is measured."""

from chime.diagnostics import Source
from chime.parsing.tidy import tidy

FEWEST_TRACKS = 6
MOST_TRACKS = 12
"""Tracks of a tape machine: common practice, no published source."""

_APART_MM = 5
_SPROCKET_MM = 20
"""Tracks lie 5 mm apart in this invented machine; 20 mm from the edge run its drive holes."""

_HEAD = """\
# A first tape machine. It is invented, and so is every number in it: measure your own machine and
# write what you find.
#
# The word "assumed" after a number says that nobody has measured it. The number is used, and
# whatever is judged by it is marked. Take the word away when the number is from your own machine,
# and write beside it in a note who measured it, how, and when. Of a value that you do not know at
# all take out the number, or the whole line: then whatever needs it says "cannot say".
#
# CAUTION. The case may hold mains voltage at open terminals, and some circuits stay live when
# others are off. Isolate and prove dead before you touch; follow your local codes and leave mains
# work to licensed people. Turn the bells off before you work at the case. Old relays may hold
# mercury, old insulation asbestos: do not tilt, heat or scrape them. Never connect to a fire
# alarm or cut into its circuits.

machine tower
  # How long the tape loop runs before it begins again, and how long it stands at each row. Count
  # the rows of a whole loop; the loop must hold a whole number of them.
  loop      24 h assumed in rows of 1 min assumed

  # The distance from row to row along the tape. Measure over a hundred rows and divide.
  row       3 mm assumed

  # The width and the thickness of the tape.
  tape      {width} mm assumed wide, 0.15 mm assumed thick

  # The drive holes: their distance along the tape, their diameter, and how far their middle lies
  # from the edge that runs along the fixed guide. A tape drawn by rollers has the line "friction"
  # instead.
  sprocket  every 3 mm assumed, hole 1.5 mm assumed, 20 mm assumed from the guided edge

  # How the tape moves: in steps, with the seconds that one step takes. A tape that creeps along
  # without stopping has the line "drive steady" instead.
  drive     steps in 0.35 s assumed

  # Where the middle of each track lies, track 1 first, all from the guided edge. Look which edge
  # that is: counting from the wrong one mirrors the tape.
  tracks    at {tracks} mm assumed from the guided edge

  # The punch: the diameter of the hole it makes, and how much that varies either side.
  hole      round 2.0 mm assumed within 0.05 mm assumed

  # What feels the holes. A rigid finger drops in; a brush touches through. Then the shape of its
  # tip.
  finger    drops in, round 0.95 mm assumed within 0.06 mm assumed

  # How far the tape can wander sideways under the fingers.
  side play 0.25 mm assumed

  # Punch one test hole and watch the pointer: if a hole at the label 11:32 rings when the pointer
  # shows 11:30, the fingers read 2 rows ahead. Count them the wrong way and every bell is late or
  # early by 4 minutes.
  reads     2 rows ahead assumed

  # The contact that cuts each ring to length: how many seconds into the row it closes, for how
  # long, and how much both vary. A machine without one has the line "no gate" instead.
  gate      at 9 s assumed for 7 s assumed, within 0.4 s assumed

  # The relay between contact and bells, if there is one; leave the line out if there is none.
  relay     operates 25 ms assumed, releases 18 ms assumed, bounces 12 ms assumed

  # By how much a hole may lie out of its place: in the punching jig, between tape and pins, at
  # rest after a step, and from the stretch of the tape between finger and pin.
  errors    jig 0.12 mm assumed, registration 0.06 mm assumed, detent 0.09 mm assumed,
    stretch 0.03 % assumed over 32 mm assumed

  # The least paper that may be left between two holes.
  web       at least 0.45 mm assumed

  # How many rows lie double where the loop is joined.
  joint     lap of 10 rows assumed

  # The days on which the machine silences the bells by itself, with a day wheel or a cam. Take
  # the line out if yours has none: then somebody must turn the bells off at the weekend.
  silenced  Sat, Sun

  # Which switches there are: one for each zone, or a single one for "all together".
  switches  each zone

  # When somebody is there who can change the tape or move a switch.
  attended  Mon to Fri 08:00 - 16:45

  # Left out, because only your own machine can tell:
  # reserve   6 %                        # the part of a row below which a margin is warned of
  # wear      0.07 mm                    # by how much holes have grown on a tape in use
  # allowance 0.75 mm within 0.04 mm     # measured over a test hole, in place of the finger
  # wheel     20 pins 1.40 mm over 140 degrees  # the drive wheel, and how far the tape wraps it
  # out of use track 6                   # a track whose finger or wire is broken
"""


def first_machine(zones: int = 0) -> str:
    """Return the text of a machine file in tidy spacing; it has a track for each of at most 12 zones."""
    if zones > MOST_TRACKS:
        raise ValueError(f"a machine of {zones} tracks")
    tracks: list[int] = []
    place = _APART_MM
    while len(tracks) < max(zones, FEWEST_TRACKS):
        if place != _SPROCKET_MM:
            tracks.append(place)
        place += _APART_MM
    text = _HEAD.format(width=tracks[-1] + _APART_MM, tracks=", ".join(map(str, tracks)))
    return tidy(Source("machine.chime", text))
