"""What of a machine may be left out, assumed, or written in another order."""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Any

import pytest

from tests.built_machines import ALL_FORMS, HELD_OF_ALL_FORMS, ZONES, held, sound


def leaves(plain: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every value that is held, with its path; a named value stands under its name."""
    if isinstance(plain, dict):
        inside = f"{path}/{plain['name']}" if {"name", "value"} <= set(plain) else path
        for name, value in plain.items():
            yield from leaves(value, f"{inside}/{name}")
    elif isinstance(plain, tuple):
        for number, value in enumerate(plain):
            is_named = isinstance(value, dict) and {"name", "value"} <= set(value)
            yield from leaves(value, path if is_named else f"{path}/{number}")
    else:
        yield path, plain


# --------------------------------------------------------------- order, left out, assumed


@pytest.mark.parametrize("order", [sorted, partial(sorted, reverse=True), partial(sorted, key=len), reversed])
def test_the_order_of_lines_and_parts_never_changes_the_result(
    order: Callable[[list[str]], Iterable[str]],
) -> None:
    opener, *lines = ALL_FORMS.replace(",\n   ", ",").splitlines()
    turned = [_turn_parts(line) for line in order(lines)]
    assert turned != lines
    text = ZONES + "\n".join([opener, *turned]) + "\n"
    assert held(sound(text).machine) == HELD_OF_ALL_FORMS


def _turn_parts(line: str) -> str:
    word, _, rest = line.strip().partition(" ")
    if word not in ("sprocket", "tape", "finger", "reads", "relay", "errors", "costs"):
        return line
    return f"  {word} " + ", ".join(reversed([part.strip() for part in rest.split(",")]))


LINES = ALL_FORMS.replace(",\n   ", ",").splitlines()[1:]

SELECTOR_LINES = [line for line in LINES if line.split()[0] in ("selector", "position")]


OTHER_LINES = [line for line in LINES if line not in SELECTOR_LINES]


def _held_without(old: str, new: str) -> set[tuple[str, Any]]:
    text = ALL_FORMS.replace(",\n   ", ",")
    assert text.count(old) == 1
    return set(leaves(held(sound(ZONES + text.replace(old, new)).machine)))


@pytest.mark.parametrize("line", OTHER_LINES, ids=str.strip)
def test_a_line_may_be_left_out_and_takes_only_its_own_values_with_it(line: str) -> None:
    everything = set(leaves(HELD_OF_ALL_FORMS))
    less = _held_without(f"{line}\n", "")
    left = {_whatever_number(leaf) for leaf in less}
    assert left < {_whatever_number(leaf) for leaf in everything}


def _whatever_number(leaf: tuple[str, Any]) -> tuple[str, Any]:
    """A leaf without the numbers of a list, which close up when one of the list is left out."""
    return re.sub(r"/\d+", "/n", leaf[0]), leaf[1]


def test_a_selector_may_be_left_out_with_all_its_positions() -> None:
    text = ALL_FORMS.replace(",\n   ", ",")
    for line in SELECTOR_LINES:
        text = text.replace(f"{line}\n", "")
    kept = {
        name: value
        for name, value in HELD_OF_ALL_FORMS.items()
        if name not in ("selector_positions", "positions")
    }
    assert held(sound(ZONES + text).machine) == kept


@pytest.mark.parametrize(
    ("old", "new", "lost"),
    [
        (" in rows of 1 min", "", {"/row_interval"}),
        (
            " 9.96 mm from the guided edge within 0.1 mm,",
            "",
            {"/sprocket/from_edge", "/sprocket/from_edge_within"},
        ),
        (" within 0.1 mm,", ",", {"/sprocket/from_edge_within"}),
        (" every 2.54 mm within 0.01 mm,", "", {"/sprocket/pitch", "/sprocket/pitch_within"}),
        (" within 0.01 mm", "", {"/sprocket/pitch_within"}),
        (", hole 1 mm within 0.02 mm", "", {"/sprocket/hole", "/sprocket/hole_within"}),
        (" 0.1 mm thick,", "", {"/tape_thickness"}),
        (", 1 in wide", "", {"/tape_width"}),
        (" in 0.35 s", "", {"/drive/travel"}),
        (" after 0.04 s", "", {"/drive/lag"}),
        (" 1.8 mm by 1.3 mm,", ",", {"/hole/along", "/hole/across"}),
        (", square", "", {"/hole/ends"}),
        (", square, within 0.05 mm", ", square", {"/hole/within"}),
        (" drops in,", "", {"/finger/mode"}),
        (
            ", ball 0.70 mm within 0.02 mm closing at 0.12 mm",
            "",
            {"/finger/tip", "/finger/along", "/finger/within", "/finger/closing_at"},
        ),
        (" within 0.02 mm closing", " closing", {"/finger/within"}),
        (" closing at 0.12 mm", "", {"/finger/closing_at"}),
        (" at 7 s", "", {"/gate/closes"}),
        (" for 3 s to 12 s", "", {"/gate/length", "/gate/longest"}),
        (" to 12 s", "", {"/gate/longest"}),
        (", within 0.4 s", "", {"/gate/within"}),
        (" bounces 10 ms,", "", {"/relay/bounces/value", "/relay/bounces/name"}),
        (", releases 15 ms", "", {"/relay/releases/value", "/relay/releases/name"}),
        (" over 32 mm", "", {"/errors/stretch/over"}),
        (
            " stretch 0.03 % over 32 mm,",
            "",
            {"/errors/stretch/over", "/errors/stretch/value", "/errors/stretch/name"},
        ),
        (", skew 0.16 mm", "", {"/errors/skew/value", "/errors/skew/name"}),
        (" turning at 00:45 within 15 min", "", {"/day_wheels/1/turning_at", "/day_wheels/1/within"}),
        (" within 15 min", "", {"/day_wheels/1/within"}),
        (", new tape 75 min", "", {"/costs/new tape/value", "/costs/new tape/name"}),
        (" within 0.04 mm", "", {"/allowance/within"}),
        (" 20 pins", "", {"/wheel/pins"}),
        (" pins 1.05 mm", " pins", {"/wheel/pin"}),
        (" over 140 degrees", "", {"/wheel/wrap"}),
    ],
)
def test_a_value_may_be_left_out_alone(old: str, new: str, lost: set[str]) -> None:
    everything = set(leaves(HELD_OF_ALL_FORMS))
    less = _held_without(old, new)
    assert less < everything
    assert {path for path, _ in everything - less} == lost


VALUE = re.compile(
    r"(?<![\w.:])\d+(?:\.\d+)? (?:ms|mm|min|degrees|in(?! rows)|s|h|%)(?![\w])|rows? ahead|lap of 10 rows"
)

PLAIN_ALL_FORMS = ALL_FORMS.replace(",\n   ", ",")


VALUE_PLACES = [match.span() for match in VALUE.finditer(PLAIN_ALL_FORMS)]


@pytest.mark.parametrize("place", VALUE_PLACES, ids=lambda place: PLAIN_ALL_FORMS[slice(*place)])
def test_a_value_may_be_assumed_and_is_then_the_only_one(place: tuple[int, int]) -> None:
    text = PLAIN_ALL_FORMS[: place[1]] + " assumed" + PLAIN_ALL_FORMS[place[1] :]
    found = dict(leaves(held(sound(ZONES + text).machine)))
    changed = {path: value for path, value in found.items() if str(value).endswith(" assumed")}
    expected = dict(leaves(HELD_OF_ALL_FORMS))
    assert len(changed) == (4 if "12.50 mm" in PLAIN_ALL_FORMS[slice(*place)] else 1)
    assert {path: f"{expected[path]} assumed" for path in changed} == changed
    assert {path: v for path, v in found.items() if path not in changed} == {
        path: v for path, v in expected.items() if path not in changed
    }


def test_every_quantity_of_all_forms_was_assumed_once() -> None:
    units = ("ms", "mm", "min", "degrees", "in(?! yard)", "s", "h", "%")
    numbers = re.findall(rf"\d (?:{'|'.join(units)})\b|\d %", re.sub(r"\d, ", "", PLAIN_ALL_FORMS))
    counts = ("2 rows ahead", "1 row ahead", "4 rows ahead", "lap of 10 rows")
    assert len(VALUE_PLACES) == len(numbers) + len(counts)
