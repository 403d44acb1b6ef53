"""The shipped programmes' outputs, letter by letter, and that nothing but the programme gets into them.

`tests/golden/NAME` holds what each programme of `programmes/` gives: its term and its days as shown, the
calendar, the hole lists, and in `sums.txt` the digests of what is too long to keep. `pytest
tests/test_golden.py --update` writes them anew: read the difference before you keep it.
"""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from chime.cli import group
from chime.compiler import compile_programme
from chime.file_access import Unreadable

ROOT = Path(__file__).parent.parent
GOLDEN = Path(__file__).parent / "golden"
PROGRAMMES = sorted((ROOT / "programmes").glob("*.chime"))
"""Not those of programmes/bench, whose half-surveyed machines have no tape."""


def name_of(path: Path) -> str:
    return path.stem


def shown(*arguments: str) -> str:
    result = CliRunner().invoke(group, list(arguments))
    assert result.exit_code == 0, result.stderr
    return result.stdout


def outputs(path: Path) -> dict[str, bytes]:
    """Return every output of a programme by file name."""

    def read_file(inner: str) -> bytes | Unreadable:
        beside = path.parent / inner
        return beside.read_bytes() if beside.is_file() else Unreadable("there is no such file")

    compiled = compile_programme(path.name, path.read_bytes(), read_file)
    made = {artefact.name: artefact.content for artefact in compiled.artefacts}
    made["term.txt"] = shown("term", str(path)).encode()
    made["times.txt"] = shown("times", str(path)).encode()
    made["rings.json"] = shown("rings", str(path), "--json").encode()
    drawings = [name for name in made if name.endswith(".svg")]
    long = {name: made.pop(name) for name in ("rings.json", "chart.pdf", "plan.json", *drawings)}
    sums = [f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in sorted(long.items())]
    count = long["rings.json"].count(b"\n")
    made["sums.txt"] = "".join([f"{count} rings\n", *sums]).encode()
    return made


@pytest.mark.parametrize("path", PROGRAMMES, ids=name_of)
def test_a_shipped_programme_gives_its_golden_outputs(path: Path, update: bool) -> None:
    folder = GOLDEN / name_of(path)
    found = outputs(path)
    if update:
        folder.mkdir(parents=True, exist_ok=True)
        for old in folder.iterdir():
            old.unlink()
        for name, content in found.items():
            (folder / name).write_bytes(content)
    kept = {file.name: file.read_bytes() for file in folder.iterdir()}
    assert sorted(found) == sorted(kept)
    for name, content in found.items():
        assert content == kept[name], name


def test_there_is_nothing_golden_without_a_programme() -> None:
    assert sorted(folder.name for folder in GOLDEN.iterdir()) == sorted(map(name_of, PROGRAMMES))


def test_outputs_do_not_depend_on_the_machine(tmp_path: Path) -> None:
    """Other time zones, languages, homes, hash seeds and folders give the same bytes."""
    programme = str(PROGRAMMES[0])
    places = {
        "one": {"TZ": "Asia/Tokyo", "LANG": "C", "HOME": "/nowhere", "PYTHONHASHSEED": "1"},
        "two": {"TZ": "America/Denver", "LANG": "de_DE.UTF-8", "HOME": str(tmp_path), "PYTHONHASHSEED": "77"},
    }
    for name, environment in places.items():
        (tmp_path / name).mkdir()
        subprocess.run(
            [sys.executable, "-m", "chime", "compile", programme, "--out", str(tmp_path / name / "out")],
            check=True,
            capture_output=True,
            cwd=tmp_path / name,
            env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        )
    one, two = (
        {file.name: file.read_bytes() for file in (tmp_path / name / "out").iterdir()} for name in places
    )
    assert one == two
