"""Which letters the chart can print: asked of the library that prints it."""

import re
import unicodedata

import pytest
import typst

from chime.compiler import lay_open
from chime.file_access import Unreadable
from chime.verify.model import Verified
from chime.writers.chart_letters import find_lacking, font_letters, lacking
from tests import tape_factory as made
from tests.test_codes import FRAME

NOT_DISPLAYED = re.compile('the text `"(.*)"` could not be displayed')


def cannot_print(text: str) -> str | None:
    """A letter of a text that typst finds neither in the plain font nor in the bold one; None if it finds all.

    A file of the kind PDF/A may hold no letter without a shape, so typst refuses it. Source: ISO 19005-2,
    6.2.11.8 [from memory].
    """
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True)
    literal = '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
    source = f"""
        #set document(date: datetime(year: 2026, month: 1, day: 1), title: "letters")
        #set text(font: "DejaVu Sans Mono", fallback: false)
        #text(weight: "regular", {literal})
        #text(weight: "bold", {literal})
    """
    try:
        typst.compile(
            source.encode(), font_paths=fonts, ignore_system_fonts=True, format="pdf", pdf_standards="a-2u"
        )
    except typst.TypstError as error:
        return str(NOT_DISPLAYED.findall(str(error))[0])
    return None


def test_typst_prints_every_letter_of_the_table() -> None:
    letters = sorted(letter for letter in font_letters() if letter.isprintable() and not letter.isspace())
    assert len(letters) > 3000
    for first in range(0, len(letters), 500):
        assert cannot_print(" ".join(letters[first : first + 500])) is None


def test_typst_lacks_the_letters_beside_those_of_the_table() -> None:
    beside = {chr(ord(letter) + step) for letter in font_letters() for step in (-1, 1)} - font_letters()
    letters = sorted(letter for letter in beside if unicodedata.category(letter)[0] in "LNPS")
    assert len(letters) > 100
    # Some are put together from a letter and its marks.
    assert [hex(ord(each)) for each in letters if (cannot_print(each) is None) != (lacking(each) == ())] == []
    assert sum(lacking(each) != () for each in letters) > 100


@pytest.mark.parametrize(
    ("text", "letters"),
    [
        ("Ondermarch School, Straße, Ærø, Łódź, Ελλάς, Київ, თბილისი", ()),
        ("Bell Tower 鐘樓 鐘", ("鐘", "樓")),
        ("School \N{BELL}", ("\N{BELL}",)),
        # Marks that are never seen by themselves: a sun drawn as a picture, a join, a direction.
        (
            "\N{BLACK SUN WITH RAYS}\N{VARIATION SELECTOR-16} a\N{ZERO WIDTH JOINER}b \N{RIGHT-TO-LEFT MARK}",
            (),
        ),
        ("", ()),
    ],
)
def test_letters_that_the_font_lacks_are_named_once(text: str, letters: tuple[str, ...]) -> None:
    assert lacking(text) == letters


def compiled(text: str) -> Verified:
    proven = lay_open("example.chime", text.encode(), lambda _: Unreadable("there is no such file"))
    assert proven.verified is not None, proven.diagnostics
    return proven.verified


def test_each_name_on_the_chart_is_looked_at() -> None:
    machine = made.bare_machine("機")._replace(span=made.spot("machine 機"))
    known = compiled(FRAME.replace("Frame", "鐘").replace("main", "主"))
    named = known._replace(programme=known.programme._replace(machine=machine))
    headlines = [fault.headline for fault in find_lacking(named)]
    assert headlines == [
        'the chart cannot print "鐘" of the programme\'s name',
        'the chart cannot print "機" of the machine\'s name',
        'the chart cannot print "主" of the name of zone 主',
    ]
    # Without a machine there is no tape, and no zone on its chart.
    assert [fault.headline for fault in find_lacking(known)] == headlines[:1]


def test_the_complaint_points_at_the_first_letter_that_is_lacking() -> None:
    (fault,) = find_lacking(compiled(FRAME.replace("Frame", "St 鐘樓")))
    assert fault.primary is not None
    assert fault.primary.span.text == "鐘"
    assert fault.headline == 'the chart cannot print "鐘", "樓" of the programme\'s name'


def test_of_many_letters_only_some_are_named() -> None:
    (fault,) = find_lacking(compiled(FRAME.replace("Frame", "鐘樓學校音樂課室")))
    assert (
        fault.headline
        == 'the chart cannot print "鐘", "樓", "學", "校", "音" and 3 more of the programme\'s name'
    )
