"""The page of mounting and proving: its steps stand in the order in which they are safe."""

from chime.programme.equipment import Count, DayWheel, Machine
from chime.verify.model import Verified
from chime.writers.chart import write
from chime.writers.chart_proving import Proving, describe_proving
from tests import tape_factory as made
from tests.test_chart import read_pages


def known(machine: Machine | None) -> Verified:
    return made.verified([made.zone("main", 1)], machine, [made.ring("2026-09-07 08:45", "main")])


def page_of(machine: Machine) -> Proving:
    page = describe_proving(known(machine))
    assert page is not None
    return page


def with_lap(rows: int) -> Machine:
    return made.day_machine()._replace(joint_rows=Count(rows, False, made.NOWHERE))


def place(page: Proving, words: str) -> int:
    (found,) = [number for number, step in enumerate(page.steps) if words in step]
    return found


def test_bells_are_off_first_and_on_only_after_the_tape_is_proven() -> None:
    """Common practice, no published source."""
    page = page_of(with_lap(12))
    order = [
        place(page, words)
        for words in ("Bells off", "Proof-read", "Join", "Mount", "Set the master", "Prove it")
    ]
    assert order == sorted(order)
    assert order[0] == 0
    assert place(page, "Bells on.") == place(page, "Prove it") + 1
    assert place(page, "Stand by at the first ring") == len(page.steps) - 1


def test_the_steps_are_those_of_the_machine() -> None:
    assert (
        "each MATCH of one end on that of the other"
        in page_of(with_lap(12)).steps[place(page_of(with_lap(12)), "Join")]
    )
    assert "the label after the last one is the first" in page_of(with_lap(0)).steps[2]
    rollers = made.day_machine()._replace(sprocket=None)
    assert "each pin in a drive hole" not in " ".join(page_of(rollers).steps)
    assert "each pin in a drive hole" in " ".join(page_of(made.day_machine()).steps)


def test_a_day_wheel_and_a_selector_are_set_too_and_looked_at() -> None:
    plain = page_of(made.day_machine()._replace(day_wheels=(), positions=()))
    assert not any("day wheel" in words for words in (*plain.steps, *plain.meanings))
    wheel = DayWheel((5, 6), None, None, None, made.NOWHERE)
    rich = page_of(
        made.day_machine()._replace(day_wheels=(wheel,), positions=(made.position(1, ("main", 1)),))
    )
    assert place(rich, "The day wheel to today") < place(rich, "Watch two more steps")
    assert place(rich, "The selector to the position of today") < place(rich, "Watch two more steps")
    assert rich.meanings[-1] == "right on some days and wrong on others: the day wheel"


def test_without_a_tape_there_is_no_such_page() -> None:
    assert describe_proving(known(None)) is None
    texts = [page.text for page in read_pages(write(known(None)).artefact.content)]
    assert not any("Mounting and proving" in text for text in texts)


def test_the_page_is_in_the_chart_with_room_for_names() -> None:
    texts = [page.text for page in read_pages(write(known(with_lap(12))).artefact.content)]
    (page,) = [text for text in texts if "Mounting and proving a tape" in text]
    for said in ("If it differs", "Who did it", "punched by", "mounted by"):
        assert said in page
