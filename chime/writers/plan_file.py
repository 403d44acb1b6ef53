"""`plan.json`: the whole plan for other programs, in the form `chime-plan/1` of `plan.schema.json`.

It is made last of all files and lists every other with its SHA-256, so that a reader can tell a whole set
from a broken one. Nothing in it comes from the clock or from the computer on which it is made.
"""

import json
from collections.abc import Iterable, Sequence
from hashlib import sha256
from typing import Any

from chime.diagnostics import Span
from chime.programme.equipment import Machine
from chime.tape.geometry import drive_holes, fingerprint, write_mm, write_phase
from chime.tape.model import Duty, Hole, Moment, RingAt, Tape
from chime.verify.model import Verdict, Verified
from chime.writers.model import Artefact, Sheet
from chime.writers.plan_days import describe_days
from chime.writers.plan_machine import describe_machine

NAME = "plan.json"
FORMAT = "chime-plan/1"


def write(verified: Verified, sheets: Sequence[Sheet], others: Iterable[Artefact]) -> Artefact:
    """Write the plan of what was compiled; `others` are all other files of the set."""
    programme, tapes = verified.programme, verified.tapes
    machine = programme.machine
    operation = None if tapes is None else tapes.operation
    plan = {
        "format": FORMAT,
        "programme": {
            "name": programme.name,
            "issue": programme.issue,
            "issued": programme.issued.isoformat(),
            "place": programme.place,
            "tzdata": verified.zone_release,
            "holidays": programme.holidays_release,
            "fingerprint": verified.fingerprint,
        },
        "machine": None if machine is None or operation is None else describe_machine(machine, operation),
        "zones": [_zone(verified, zone.name, zone.label) for zone in programme.zones],
        "days": describe_days(verified),
        "duties": [] if operation is None else [_duty(duty) for duty in operation.duties],
        "tapes": [] if tapes is None or machine is None else [_tape(tape, machine) for tape in tapes.tapes],
        "retired": [] if tapes is None else [{"id": a, "fingerprint": b} for a, b in tapes.retired],
        "sheets": [_sheet(sheet) for sheet in sheets],
        "reads": verified.reads(),
        "checks": [_check(verdict) for verdict in verified.verdicts],
        "files": {each.name: sha256(each.content).hexdigest() for each in sorted(others)},
    }
    return Artefact(NAME, _spread(plan).encode())


def _spread(plan: dict[str, Any]) -> str:
    """Return a JSON object with a line for each key, and for each entry of a list."""
    lines = [f" {json.dumps(key)}: {_spread_value(value)}" for key, value in plan.items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def _spread_value(value: object) -> str:
    if not isinstance(value, list) or not value:
        return json.dumps(value, ensure_ascii=False)
    return "[\n" + ",\n".join(f"  {json.dumps(each, ensure_ascii=False)}" for each in value) + "\n ]"


def _zone(verified: Verified, name: str, label: str | None) -> dict[str, Any]:
    tracks = {} if verified.tapes is None else verified.tapes.operation.tracks_by_zone
    return {"name": name, "label": label, "tracks": list(tracks.get(name, ()))}


def _moment(moment: Moment) -> str:
    return moment.at.isoformat()


def _duty(duty: Duty) -> dict[str, Any]:
    return {
        "id": duty.id,
        "do": duty.do,
        "what": duty.what,
        "from": _moment(duty.begins),
        "from_fold": duty.begins.fold,
        "until": _moment(duty.ends),
        "until_fold": duty.ends.fold,
        "zone": duty.zone,
        "tape": duty.tape,
        "position": duty.position,
        "lifts": duty.lifts,
        "reason": duty.reason,
        "if_forgotten": {
            "missing": [_ring(ring) for ring in duty.missing],
            "extra": [_ring(ring) for ring in duty.extra],
            "others": duty.others,
        },
    }


def _ring(ring: RingAt) -> dict[str, Any]:
    return {"at": ring.at.isoformat(), "fold": ring.fold, "zone": ring.zone}


def _tape(tape: Tape, machine: Machine) -> dict[str, Any]:
    pitch, lap = machine.pitch, machine.joint_rows
    lap_rows = None if lap is None else lap.amount
    return {
        "id": tape.id,
        "fingerprint": _mark(tape),
        "rows": tape.rows,
        "length_mm": None if pitch is None else in_mm(tape.rows * pitch.amount),
        "joint": {
            "cut_row": None if tape.cut is None else tape.cut.row,
            "lap_rows": lap_rows,
            "drive_holes": drive_holes(machine, tape.rows),
        },
        "holes": [_hole(hole, tape) for hole in tape.holes],
    }


def _mark(tape: Tape) -> str:
    return fingerprint(tape.rows, tape.row_interval_s, [(hole.row, hole.track) for hole in tape.holes])


def _hole(hole: Hole, tape: Tape) -> dict[str, Any]:
    return {
        "row": hole.row,
        "track": hole.track,
        "zones": list(hole.zones),
        "times": [write_phase(tape, phase_s) for phase_s in hole.rings_at],
        "along_mm": None if hole.along_nm is None else in_mm(hole.along_nm),
        "across_mm": None if hole.across_nm is None else in_mm(hole.across_nm),
        "because": lines_of(hole.because),
    }


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "file": sheet.file,
        "page": sheet.page,
        "tape": sheet.tape,
        "first_row": sheet.first_row,
        "last_row": sheet.last_row,
        "holes": [
            {
                "row": hole.row,
                "track": hole.track,
                "x_mm": in_mm(hole.x_nm),
                "y_mm": in_mm(hole.y_nm),
                "size_mm": in_mm(hole.along_nm),
                "width_mm": in_mm(hole.across_nm),
                "again": hole.again,
            }
            for hole in sheet.holes
        ],
    }


def _check(verdict: Verdict) -> dict[str, Any]:
    return {
        "check": verdict.check,
        "verdict": verdict.verdict,
        "says": verdict.says,
        "margin_mm": verdict.margin_mm,
        "margin_s": verdict.margin_s,
        "rests_on": [{"value": each.value, "status": each.status} for each in verdict.rests_on],
        "provided": verdict.provided,
        "because": lines_of(verdict.because),
    }


def in_mm(length_nm: int) -> int | float:
    """Return a length as the JSON number of its exact decimal millimetres."""
    text = write_mm(length_nm)
    return float(text) if "." in text else int(text)


def lines_of(spans: Iterable[Span]) -> list[str]:
    """Return `path:line` of some spans, in order of place."""
    return [f"{path}:{line}" for path, line in sorted({(span.source.path, span.line) for span in spans})]
