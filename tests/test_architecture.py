"""The import rule: a stage knows the nouns of earlier stages, never their verbs, never a later stage.

Read from the sources themselves, so that every new module must be placed on purpose.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "chime"
STAGES = ("parsing", "programme", "rings", "tape", "verify", "writers")

BASE = {"chime.clock", "chime.diagnostics"}
MODELS = {
    "chime.programme.equipment",
    "chime.programme.model",
    "chime.rings.model",
    "chime.tape.model",
    "chime.verify.model",
    "chime.rings.day_model",
}

MAY_IMPORT: dict[str, set[str]] = {
    "chime.clock": set(),
    "chime.zone_time": set(),
    "chime.file_access": set(),
    "chime.diagnostics": set(),
    "chime.parsing": BASE | {"chime.file_access"},
    "chime.programme": BASE | {"chime.file_access", "chime.zone_time", "chime.parsing.tree"},
    "chime.rings": BASE | {"chime.zone_time", "chime.programme.model"},
    "chime.tape": BASE | {"chime.programme.equipment", "chime.programme.model", "chime.rings.model"},
    "chime.verify": BASE | {"chime.zone_time"} | MODELS - {"chime.verify.model"},
    "chime.writers": BASE | {"chime.zone_time", "chime.tape.geometry"} | MODELS,
    "chime.begin": BASE | {"chime.parsing"},
    "chime.catalogue": {"chime.diagnostics", "faults"},
    "chime.compiler": {"chime.diagnostics", "chime.file_access", *(f"chime.{s}" for s in STAGES)},
    "chime.cli": {"chime"},
    "chime.__main__": {"chime.cli"},
}
"""For each part of the package, what else of the package its modules may import. A part may always
import itself; `chime.x` stands for all that is in it."""

LIBRARIES = {
    "lark": {"chime.parsing"},
    "click": {"chime.cli"},
    "holidays": {"chime.programme"},
    "icalendar": {"chime.programme"},
    "dateutil": {"chime.programme"},
    "tzdata": {"chime.zone_time", "chime.programme"},
    "zoneinfo": {"chime.zone_time"},
    "jinja2": {"chime.writers"},
    "typst": {"chime.writers"},
    "pikepdf": {"chime.writers"},
}
"""Which part may import an outside library; all others may use the standard library alone."""

READS_PACKAGED_FILES = {
    "chime.parsing.grammar",
    "chime.zone_time",
    "chime.writers.chart_sheets",
    "chime.programme.public_days",
}
"""Modules outside the command line that open files of the installation, and nothing else."""


def modules() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        yield name, ast.parse(path.read_text(encoding="utf-8"))


MODULES = list(modules())


def part_of(module: str) -> str:
    return ".".join(module.split(".")[:2])


def imported(module: str, tree: ast.Module) -> Iterator[str]:
    """Yield what a module imports, `from chime.rings import model` as chime.rings.model."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} has a relative import"
            assert node.module is not None
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                is_module = (ROOT / Path(*inner.split("."))).with_suffix(".py").exists()
                is_package = (ROOT / Path(*inner.split(".")) / "__init__.py").exists()
                yield inner if is_module or is_package else node.module


def allows(rule: str, wanted: str) -> bool:
    if rule == "faults":
        return "fault" in wanted.rsplit(".", 1)[-1] or wanted.rsplit(".", 1)[-1] in ("advice", "bug")
    return wanted == rule or wanted.startswith(rule + ".")


@pytest.mark.parametrize(("module", "tree"), MODULES, ids=[name for name, _ in MODULES])
def test_a_module_imports_only_what_its_part_may(module: str, tree: ast.Module) -> None:
    part = part_of(module)
    if module == "chime":
        return
    assert part in MAY_IMPORT, f"{part} has no place in the import rule"
    for wanted in imported(module, tree):
        if wanted.startswith("chime") and part_of(wanted) != part:
            assert any(allows(rule, wanted) for rule in MAY_IMPORT[part]), f"{module} imports {wanted}"
        library = wanted.split(".")[0]
        if library in LIBRARIES:
            assert part in LIBRARIES[library], f"{module} imports {library}"


@pytest.mark.parametrize(("module", "tree"), MODULES, ids=[name for name, _ in MODULES])
def test_only_the_command_line_reads_prints_and_exits(module: str, tree: ast.Module) -> None:
    if part_of(module) == "chime.cli":
        return
    calls = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    functions = {f.id for f in calls if isinstance(f, ast.Name)}
    methods = {f.attr for f in calls if isinstance(f, ast.Attribute)}
    found = functions & {"print", "input", "exit"}
    found |= methods & {"exit", "write_text", "write_bytes", "now", "today", "utcnow"}
    if module not in READS_PACKAGED_FILES:
        found |= functions & {"open"} | methods & {"read_text", "read_bytes"}
    assert not found, f"{module} calls {sorted(found)}"


def test_the_names_of_the_stages_sort_in_the_order_of_the_pipeline() -> None:
    assert list(STAGES) == sorted(STAGES)


def test_the_top_level_is_the_fixed_one() -> None:
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "chime",
        "grammar",
        "tests",
        "programmes",
        "dist",
        "build",
        "out",
    }
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}
    assert found <= allowed | {p for p in found if p.endswith(".egg-info")}


def test_the_rule_itself_refuses_a_later_stage() -> None:
    """A rule that allowed everything would pass the tests above."""
    assert not any(allows(rule, "chime.rings.model") for rule in MAY_IMPORT["chime.programme"])
    assert not any(allows(rule, "chime.programme.names") for rule in MAY_IMPORT["chime.rings"])
