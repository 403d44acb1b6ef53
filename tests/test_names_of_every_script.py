"""Which words are names: letters, marks and digits of any script, single hyphens, joiners where they belong."""

import re
import unicodedata

import pytest

from chime.diagnostics import Source
from chime.parsing.grammar import line_parser
from chime.parsing.parser import read_blocks
from chime.parsing.typed_line import cut
from chime.parsing.words import is_name
from tests.compiling import rings_of
from tests.test_codes import framed

NAME = re.compile(line_parser().get_terminal("NAME").pattern.to_regexp())
BASIC_PLANE = range(0x10000)

ODD_LETTERS = "\u037a\u2e2f\ufc5e\ufc5f\ufc60\ufc61\ufc62\ufc63\ufdfa\ufdfb\ufe70\ufe72\ufe74\ufe76\ufe78\ufe7a\ufe7c\ufe7e"
"""Letters that UAX #31 keeps out of identifiers because other forms of them begin with a space, and so on."""

# "School" or "house" as dictionaries give it, from memory; what counts is the characters of each script.
WORDS = {
    "Burmese": "\u1000\u103b\u1031\u102c\u1004\u103a\u1038",
    "Khmer": "\u179f\u17b6\u179b\u17b6",
    "Tibetan": "\u0f66\u0fb3\u0f7c\u0f56",
    "Thaana": "\u0790\u07b0\u0786\u07ab\u078d\u07b0",
    "Devanagari": "\u092a\u093e\u0920\u0936\u093e\u0932\u093e",
    "Devanagari with a joiner": "\u0915\u094d\u200d\u0937",
    "Sinhala with a joiner": "\u0dc1\u0dca\u200d\u0dbb\u0dd3",
    "Persian with a non-joiner": "\u062e\u0627\u0646\u0647\u200c\u0647\u0627",
    "Arabic with vowels": "\u0645\u064e\u062f\u0652\u0631\u064e\u0633\u064e\u0629",
    "Hebrew with points": "\u05d1\u05bc\u05b7\u05d9\u05b4\u05ea",
    "Tamil": "\u0bb5\u0bbf\u0b9f\u0bc1\u0ba4\u0bbf",
    "Thai": "\u0e42\u0e23\u0e07\u0e40\u0e23\u0e35\u0e22\u0e19",
    "Korean": "\ud559\uad50",
    "Chinese": "\u5b66\u6821",
    "Latin with a combining accent": "e\u0301cole",
    "a digit of its own script": "\u092d\u0935\u0928-\u0967",
    "a letter beyond the basic plane": "\U00010400\U00010428",
}

NO_NAMES = {
    "a fraction": "\u00bd",
    "a raised figure first": "\u00b2x",
    "a raised figure": "x\u00b2",
    "a fraction behind a letter": "x\u00bd",
    "a Roman numeral": "\u2167",
    "a circled figure": "a\u2460",
    "a mark first": "\u0301a",
    "a digit first": "\u0967\u092d",
    "a sign": "a\u2192b",
    "an underscore": "a_b",
    "two hyphens": "a--b",
    "a hyphen at the end": "a-",
    "a joiner before a mark": "\u0915\u200d\u094d",
    "a joiner behind a digit": "\u0915\u0967\u200d\u0937",
    "two joiners": "\u0915\u200d\u200d\u0937",
}


def faults_of(name: str) -> list[str]:
    return [fault.code.id for fault in read_blocks(Source("a.chime", f"zone {name}\n")).diagnostics]


def is_whole_name(text: str) -> bool:
    return NAME.fullmatch(text) is not None and is_name(text)


def test_a_name_holds_what_unicode_calls_letters_marks_and_digits() -> None:
    """The categories are those of the Unicode Character Database as Python packages it."""
    kinds = {"Lu", "Ll", "Lt", "Lm", "Lo", "Mn", "Mc", "Nd"}
    wanted = {chr(c) for c in BASIC_PLANE if unicodedata.category(chr(c)) in kinds}
    assert {chr(c) for c in BASIC_PLANE if is_whole_name(f"a{chr(c)}")} == wanted


def test_a_name_begins_with_what_unicode_calls_a_letter() -> None:
    wanted = {chr(c) for c in BASIC_PLANE if unicodedata.category(chr(c))[0] == "L"}
    assert {chr(c) for c in BASIC_PLANE if is_whole_name(chr(c))} == wanted


def test_what_a_name_holds_may_stand_in_identifiers_by_the_standard() -> None:
    """Unicode Standard Annex #31 (XID_Continue), which Python's identifiers follow."""
    held = [chr(c) for c in BASIC_PLANE if is_whole_name(f"a{chr(c)}")]
    assert [c for c in held if not f"a{c}".isidentifier()] == list(ODD_LETTERS)


@pytest.mark.parametrize("word", WORDS.values(), ids=WORDS)
def test_words_of_many_scripts_are_names(word: str) -> None:
    text = f"zone {word}\ntimetable {word} in {word}\n  ring 08:20 lesson\nexceptions\n  2026-10-06 {word}\n"
    assert unicodedata.normalize("NFC", word) in {ring.zone for ring in rings_of(framed(text))}
    assert [piece.text for piece in cut(f"zone {word}")] == ["zone", word]


@pytest.mark.parametrize("word", NO_NAMES.values(), ids=NO_NAMES)
def test_other_characters_make_no_name(word: str) -> None:
    assert faults_of(word) == ["S201"]


@pytest.mark.parametrize("unseen", ["\u200b", "\u200c", "\u200d", "\u2060", "\u00ad"])
def test_a_character_of_no_width_in_a_latin_name_is_taken_out(unseen: str) -> None:
    read = read_blocks(Source("a.chime", f"zone co{unseen}urt\n"))
    (fault,) = read.diagnostics
    assert (fault.code.id, fault.suggestions[0].certainty) == ("S213", "sure")
    header = read.blocks[0].header
    assert header is not None
    assert [word.text for name in header.nodes("name") for word in name.words()] == ["court"]


@pytest.mark.parametrize("figure", ["\u0661", "\u0967", "\uff11", "\u00b2"])
def test_numbers_are_written_with_the_figures_0_to_9(figure: str) -> None:
    assert faults_of(f"court on track {figure}") == ["S201"]


def test_a_faulty_word_of_another_script_is_marked_whole() -> None:
    word = WORDS["Burmese"]
    (fault,) = read_blocks(Source("a.chime", f"{word} court\n")).diagnostics
    assert fault.primary is not None
    assert (fault.code.id, fault.primary.span.text) == ("S204", word)
    (fault,) = read_blocks(Source("a.chime", f"signal long 9 {word} within 3 s\n")).diagnostics
    assert fault.primary is not None
    assert (fault.code.id, fault.primary.span.text) == ("S201", word)


@pytest.mark.parametrize(
    ("label", "reading"),
    [("5", "Period 5 starts"), ("\u0665", "\u0665 starts"), ("\u00b2", "\u00b2 starts"), ("5a", "5a starts")],
)
def test_a_label_is_a_number_in_the_figures_0_to_9(label: str, reading: str) -> None:
    text = f'timetable normal in main\n  each period start lesson\n  period "{label}" 08:50 - 09:40\n'
    assert {ring.labels for ring in rings_of(framed(text))} == {(reading,)}
