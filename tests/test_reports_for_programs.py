"""Complaints for editors and other programs: one line each, and JSON."""

import json

from chime.diagnostics import Diagnostic, Suggestion, machine, one_line
from tests.complaints import FERRYBANK, at, code, marramsea, unknown_zone

# One line


def test_one_line_for_each_complaint() -> None:
    source = marramsea()
    whole = Diagnostic(code("F101", "warning"), "the file is empty", file="a.chime")
    nowhere = Diagnostic(code("X901"), "a bug in chime")
    two = (Suggestion("main", "guess"), Suggestion("maid", "guess"))
    assert one_line.render(
        [unknown_zone(source), whole, nowhere, at(source, 0, 4)._replace(suggestions=two)]
    ) == (
        "error X901: a bug in chime\n"
        "a.chime: warning F101: the file is empty\n"
        "programmes/marramsea.chime:1:1: error N300: something is wrong here (try: main; maid)\n"
        'programmes/marramsea.chime:14:25: error N388: there is no zone called "south-qauy" '
        "(try: south-quay)\n"
    )


# JSON


def test_json_says_everything_with_lines_columns_and_offsets() -> None:
    source = marramsea()
    used, declared = FERRYBANK.index("south-qauy"), FERRYBANK.index("south-quay")
    text = machine.render([unknown_zone(source)])
    assert json.loads(text) == {
        "format": "chime-diagnostics/1",
        "counts": {"error": 1, "warning": 0},
        "diagnostics": [
            {
                "code": "N388",
                "slug": "unknown-zone",
                "stage": "programme",
                "severity": "error",
                "headline": 'there is no zone called "south-qauy"',
                "why": "Only a zone that is declared somewhere can be silenced.",
                "labels": [
                    {
                        "role": "primary",
                        "text": "nowhere declared",
                        "span": {
                            "file": "programmes/marramsea.chime",
                            "start": {"line": 14, "column": 25, "offset": used},
                            "end": {"line": 14, "column": 35, "offset": used + 10},
                        },
                    },
                    {
                        "role": "secondary",
                        "text": "a name much like it, from here",
                        "span": {
                            "file": "programmes/marramsea.chime",
                            "start": {"line": 4, "column": 6, "offset": declared},
                            "end": {"line": 4, "column": 16, "offset": declared + 10},
                        },
                    },
                ],
                "suggestions": [
                    {
                        "certainty": "guess",
                        "text": "south-quay",
                        "edits": [
                            {
                                "file": "programmes/marramsea.chime",
                                "start": used,
                                "end": used + 10,
                                "replacement": "south-quay",
                            }
                        ],
                    }
                ],
                "about": "chime explain N388",
            }
        ],
    }
    assert text.startswith('{\n  "format": "chime-diagnostics/1",\n  "counts": {')
    assert text.endswith("}\n")


def test_json_names_the_file_of_a_fault_without_a_place_and_keeps_letters_as_they_are() -> None:
    fault = Diagnostic(code("F101", "warning"), "Küche", file="küche.chime")
    text = machine.render([fault])
    (found,) = json.loads(text)["diagnostics"]
    assert (found["file"], found["labels"]) == ("küche.chime", [])
    assert json.loads(text)["counts"] == {"error": 0, "warning": 1}
    assert '"Küche"' in text


def test_json_with_nothing_to_say_is_still_a_report() -> None:
    assert json.loads(machine.render([])) == {
        "format": "chime-diagnostics/1",
        "counts": {"error": 0, "warning": 0},
        "diagnostics": [],
    }
