"""What the verdicts of the machine tell its user: what fails, what is near to it, what nobody can say."""

from collections.abc import Sequence

from chime.diagnostics import Diagnostic, Span, Suggestion
from chime.diagnostics.complain import Other, complain, sketch
from chime.verify.cures import Cure, find_cures
from chime.verify.gate_judged import worst_length_left
from chime.verify.judging import Judgement, Subject
from chime.verify.loop_judged import MOVED_BY_FRICTION
from chime.verify.machine_faults import CANNOT_SAY, LENGTH_AT_WORST, RING_TOO_LONG, UNDER_RESERVE
from chime.verify.model import Margin, Verdict

_MOST_NAMED = 6

Judged = tuple[Judgement, Verdict]


def tell(judged: Sequence[Judged], subject: Subject) -> list[Diagnostic]:
    """Return what is wrong, or near to it, or cannot be said."""
    cures = find_cures(judged, subject)
    found = [
        _failed(judgement, verdict, cures[judgement], subject)
        for judgement, verdict in judged
        if verdict.verdict == "fails"
    ]
    found += [
        _under_reserve(judgement, verdict, subject)
        for judgement, verdict in judged
        if judgement.claims_reserve and verdict.verdict == "holds" and _is_short(verdict, subject)
    ]
    found += [
        _at_worst(judgement, verdict, subject)
        for judgement, verdict in judged
        if judgement.code is RING_TOO_LONG and verdict.verdict == "holds" and worst_length_left(subject) < 0
    ]
    unsaid = [verdict for _, verdict in judged if verdict.verdict == "cannot say"]
    if unsaid:
        found.append(_cannot_say(unsaid, subject))
    return found


def _reserve_mm(subject: Subject) -> float:
    return subject.sheet.amount("reserve") * subject.sheet.amount("row pitch")


def _is_short(verdict: Verdict, subject: Subject) -> bool:
    return verdict.margin_mm is not None and verdict.margin_mm < _reserve_mm(subject)


def _place(judgement: Judgement, subject: Subject, at: Span | None = None) -> Span:
    """Return the value that a complaint points at: that with the largest part in it, or the usual one."""
    values = subject.sheet.values
    usual = (values[name].span for name in judgement.blames if name in values)
    return at or next(usual, subject.sheet.machine.span)


def _failed(judgement: Judgement, verdict: Verdict, cures: Sequence[Cure], subject: Subject) -> Diagnostic:
    names = {cure.name for cure in cures}
    only = subject.sheet.values[names.pop()].span if len(names) == 1 else None
    place = _place(judgement, subject, verdict.at or only)
    said = {known.span for known in subject.sheet.values.values()}
    beside: list[Other] = [(span, "asks for the hole") for span in verdict.because[:1] if span not in said]
    return complain(
        judgement.code,
        judgement.failure,
        (place, "as the machine is"),
        f"{_raised(verdict.says)}{_short_of(verdict)}.",
        beside,
        [Suggestion(cure.in_words(), "sketch") for cure in cures] or sketch(judgement.otherwise),
    )


def _short_of(verdict: Verdict) -> str:
    if verdict.margin_mm is not None and verdict.margin_mm < 0:
        return f"; {Margin(verdict.margin_mm).write(2)} mm are lacking"
    if verdict.margin_s is not None and verdict.margin_s < 0:
        return f"; {Margin(verdict.margin_s).write(1)} s are lacking"
    return ""


def _lowered(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:].rstrip(".")


def _raised(words: str) -> str:
    return words[0].upper() + words[1:]


def _under_reserve(judgement: Judgement, verdict: Verdict, subject: Subject) -> Diagnostic:
    return complain(
        UNDER_RESERVE,
        f"only {Margin(verdict.margin_mm or 0.0).write(2)} mm is left so that {_lowered(judgement.sentence)}",
        (_place(judgement, subject), "as the machine is"),
        f"{_raised(verdict.says)}. The reserve that is claimed is {_reserve_mm(subject):.2f} mm.",
        [(subject.sheet.values["reserve"].span, "claimed here")],
    )


def _at_worst(judgement: Judgement, verdict: Verdict, subject: Subject) -> Diagnostic:
    return complain(
        LENGTH_AT_WORST,
        "at the limits of its tolerances the machine rings too long or too short",
        (_place(judgement, subject), "as the machine is"),
        f"{_raised(verdict.says)}.",
        [(span, "the signal") for span in verdict.because[:1]],
    )


def _cannot_say(unsaid: Sequence[Verdict], subject: Subject) -> Diagnostic:
    missing = list(dict.fromkeys(name for verdict in unsaid for name in verdict.lacks))
    machine = subject.sheet.machine
    why = []
    if MOVED_BY_FRICTION in missing:
        missing.remove(MOVED_BY_FRICTION)
        why.append("Nothing but friction keeps a tape without drive holes in step.")
    if missing:
        why.append(f"It does not say {_listed(missing)}.")
    values = "1 value" if len(missing) == 1 else f"{len(missing)} values"
    checks = "1 check" if len(unsaid) == 1 else f"{len(unsaid)} checks"
    return complain(
        CANNOT_SAY,
        f"{checks} of machine {machine.name} cannot be made",
        (machine.span, f"does not say {values} that are needed" if missing else "is driven by rollers"),
        " ".join([*why, "Nobody can say whether this holds:", *(verdict.check for verdict in unsaid)]),
        offers=sketch("measure what is missing and write it into the machine's block") if missing else (),
    )


def _listed(names: list[str]) -> str:
    named = [name if name.startswith("how ") else f"the {name}" for name in names[:_MOST_NAMED]]
    if len(names) > _MOST_NAMED:
        named.append(f"{len(names) - _MOST_NAMED} more values")
    return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"
