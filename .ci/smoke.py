"""Runs the installed package, far from the checkout, on every programme of a folder."""

import json
import subprocess
import sys
import tempfile
from importlib.resources import files
from pathlib import Path

from chime.parsing import grammar

assert Path(grammar.TABLES).is_file(), "the wheel has no tables"
with open(grammar.TABLES, "rb") as tables:
    assert grammar.load(tables.read(), grammar.grammar_text()), "the wheel's tables do not fit its grammar"

schema = json.loads(files("chime.writers").joinpath("plan.schema.json").read_text(encoding="utf-8"))

for programme in sorted(Path(sys.argv[1]).glob("*.chime")):
    if not any(line.startswith("programme ") for line in programme.read_text(encoding="utf-8").splitlines()):
        continue
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(
            [sys.executable, "-m", "chime", "compile", str(programme), "--out", folder],
            check=True,
            stdout=subprocess.PIPE,
        )
        made = sorted(p.name for p in Path(folder).iterdir())
        assert "calendar.ics" in made, made
        assert "chart.pdf" in made, made
        plan = json.loads((Path(folder) / "plan.json").read_text(encoding="utf-8"))
        assert plan.keys() == schema["properties"].keys(), "the plan has other keys than its schema"
        print(f"{programme.name}: {len(made)} files")
