"""The first pages of the chart: what nobody has checked, what is dangerous, what it holds and rests on."""

from collections.abc import Mapping, Sequence

from chime.clock import write_date
from chime.programme.equipment import Machine, Value
from chime.records import NamedTuple
from chime.tape.geometry import hole_size, write_mm
from chime.tape.model import Tape
from chime.verify.model import SheetValue, Verified
from chime.writers.chart_scale import say_scale
from chime.writers.chart_sheet_words import Plan
from chime.writers.columns import joined, number
from chime.writers.duty_words import say_wiring
from chime.writers.model import ChartChoice
from chime.writers.verdict_words import Settled, failing, not_judged, open_questions, settled

CAUTIONS: tuple[str, ...] = (
    (
        "Mains in the case. The machine, its clock and its bell supply can hold mains voltage behind one "
        "cover. Switch off and lock off before anything is opened; wiring is work for a licensed person."
    ),
    (
        "A contact that stays closed burns a bell coil and can start a fire. Run a new tape through a whole "
        "loop with the bells off, then stand by at its first rings with a hand on the switch."
    ),
    (
        "Old parts. A tilting switch may hold mercury, and old insulation may hold asbestos or crumble at a "
        "touch. Do not open, drill or sand it: let a licensed person judge it first."
    ),
    (
        "Punching. Keep fingers from under the punch, guard your eyes from slugs and springs, and pick every "
        "slug out: one that hangs closes its hole or jams a contact."
    ),
    (
        "Programme bells are never an alarm signal. No hole of this tape may call a fire, an evacuation or "
        "any other emergency; that is the business of a system made, tested and approved for it."
    ),
    (
        "Local codes, the rules of the building and the advice of a licensed person come before anything "
        "printed here."
    ),
)
_FROM_FRONT = (
    "Before the first hole, lay a sheet on the tape that is now in the machine. If with the guided edge "
    "at the left and this face to the fingers its labels do not run down the page, the sheet is a mirror "
    "image: do not punch."
)
_FROM_BACK = (
    "These sheets are a mirror image. Before the first hole, lay one on the tape that is now in the machine, "
    "its guided edge at the right and the face that the fingers touch turned away: its labels must run down "
    "the page. Then punch from the side that you see, the back."
)


class Cover(NamedTuple):
    """The first pages; `part` says what was left out because it was not asked for."""

    title: str
    lines: tuple[str, ...]
    cannot_draw: str
    part: tuple[str, ...]
    fails: tuple[Settled, ...]
    unchecked: tuple[str, ...]
    not_judged: tuple[str, ...]
    settled: tuple[Settled, ...]
    cautions: tuple[str, ...]
    contents: tuple[str, ...]
    settings: tuple[str, ...]
    values: tuple[str, ...]
    sheet: tuple[SheetValue, ...]


def describe_cover(
    verified: Verified,
    tapes: Sequence[Tape],
    plans: Mapping[str, Plan],
    choice: ChartChoice,
    cannot_draw: str,
) -> Cover:
    """Say what the chart is of, what nobody has checked, what is dangerous, and what it rests on."""
    programme = verified.programme
    holidays = programme.holidays_release
    lines = [
        f"issue {programme.issue} of {write_date(programme.issued)}",
        f"fingerprint {verified.fingerprint}",
        f"place {programme.place}, zone data {verified.zone_release}",
        *([f"public holidays {holidays}"] if holidays is not None else []),
    ]
    return Cover(
        programme.name,
        tuple(lines),
        cannot_draw,
        tuple(_say_part(verified, choice)),
        failing(verified),
        open_questions(verified),
        not_judged(verified),
        settled(verified),
        (*CAUTIONS, *_say_side(choice)),
        tuple(_list_tape(tape, plans.get(tape.id)) for tape in tapes),
        tuple(_list_settings(verified)),
        tuple(_list_values(programme.machine)) if programme.machine is not None else (),
        () if verified.sheet is None else verified.sheet.values,
    )


def _say_side(choice: ChartChoice) -> tuple[str, ...]:
    if choice.list_only:
        return ()
    return (_FROM_BACK if choice.from_back else _FROM_FRONT,)


def _say_part(verified: Verified, choice: ChartChoice) -> list[str]:
    """Say which tapes and sheets are left out by choice."""
    said = say_scale(choice)
    if choice.tapes and verified.tapes is not None:
        known = [tape.id for tape in verified.tapes.tapes]
        chosen = [name for name in known if name in choice.tapes]
        said.append(f"Only {_tapes(chosen)} of {_tapes(known)}.")
    if choice.first_row is not None:
        said.append(
            f"Only sheets with rows from {choice.first_row} to {choice.last_row}; the lists are whole."
        )
    return said


def _tapes(names: list[str]) -> str:
    return f"tape{'' if len(names) == 1 else 's'} {joined(names)}"


def _list_tape(tape: Tape, plan: Plan | None) -> str:
    holes, dates = number(len(tape.holes), "hole"), number(len(tape.dates), "date")
    sheets = number(len(plan.pieces) if plan is not None else 0, "sheet")
    return f"Tape {tape.id}: {sheets}, {holes}, on {dates} from {write_date(tape.dates[0])}"


def _list_settings(verified: Verified) -> list[str]:
    """List what is set on the machine once, before the first tape is on."""
    if verified.tapes is None:
        return []
    operation = verified.tapes.operation
    position = operation.wirings[0].position
    said = list(verified.tapes.decided)
    said += [] if position is None else [f"selector: position {position}, all the time"]
    if operation.is_moved:
        said += ["selector: moved between dates, as the duties say; its positions are wired so:"]
        said += [f"position {wired.position}  {', '.join(say_wiring(wired))}" for wired in operation.wirings]
    gate = operation.gate
    if gate is not None:
        closes = (
            "" if gate.closes_us is None else f"closes {gate.closes_us / 1_000_000:g} s after the impulse, "
        )
        said.append(
            f"gate: {closes}for {gate.length_us / 1_000_000:g} s; a ring then sounds for "
            f"{gate.sounds_us / 1_000_000:g} s"
        )
    return said


def _list_values(machine: Machine) -> list[str]:
    """List the values that the chart draws, each with how it is known."""
    sprocket, hole = machine.sprocket, machine.hole
    size = hole_size(machine)
    lengths: list[tuple[str, Value | None]] = [
        ("row pitch", machine.pitch),
        ("tape width", machine.tape_width),
        ("hole along the tape", hole.along if hole is not None else None),
        ("drive hole pitch", sprocket.pitch if sprocket is not None else None),
        ("drive hole along the tape", sprocket.hole if sprocket is not None else None),
        ("drive hole across the tape", sprocket.width() if sprocket is not None else None),
        ("drive holes from the guided edge", sprocket.from_edge if sprocket is not None else None),
    ]
    lengths += [
        (f"track {track} from the guided edge", at) for track, at in enumerate(machine.tracks, start=1)
    ]
    said = [f"{name}: {_state(value)}" for name, value in lengths]
    if size.across_nm is not None and hole is not None and hole.across is not None:
        said.append(f"hole across the tape: {_state(hole.across)}")
    for reads in machine.reads:
        track = "every track" if reads.track is None else f"track {reads.track}"
        status = ", assumed" if reads.rows.assumed else ""
        said.append(f"{track} is read {number(reads.rows.amount, 'row')} ahead of the label shown{status}")
    lap = machine.joint_rows
    if lap is None:
        said.append("lap of the joint: not given")
    else:
        said.append(f"lap of the joint: {number(lap.amount, 'row')}{', assumed' if lap.assumed else ''}")
    said.append("drive holes are drawn in line with row 0: nobody has measured it")
    return said


def _state(value: Value | None) -> str:
    if value is None:
        return "not given"
    return f"{write_mm(value.amount)} mm{', assumed' if value.assumed else ''}"
