"""The import rule: a stage knows the nouns of earlier stages, never their verbs, never a later stage.

Read from the sources themselves, so that every new module must be placed on purpose. Each rule is a function
from what the modules import to what breaks it, and is shown a breach too.
"""

import ast
import inspect
import re
import sys
from collections.abc import Callable, Iterator, Mapping
from importlib import import_module
from pathlib import Path

import pytest

from chime import catalogue, compiler

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "chime"
STAGES = ("parsing", "programme", "rings", "tape", "verify", "writers")
NO_STAGES = {"begin", "cli", "diagnostics", "mechanics", "planning"}
"""Folders beside the stages."""

OF_EVERY_PART = "chime.records"
"""What stands for `NamedTuple`, which any module may want."""

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
    "chime.records": set(),
    "chime.zone_time": set(),
    "chime.file_access": set(),
    "chime.mechanics": set(),
    "chime.planning": set(),
    "chime.diagnostics": set(),
    "chime.parsing": BASE | {"chime.file_access"},
    "chime.programme": BASE | {"chime.file_access", "chime.zone_time", "chime.parsing.tree"},
    "chime.rings": BASE | {"chime.zone_time", "chime.programme.model"},
    "chime.tape": BASE
    | {"chime.zone_time", "chime.programme.equipment", "chime.programme.model", "chime.rings.model"}
    | {"chime.mechanics.seam", "chime.planning"},
    "chime.verify": BASE
    | {"chime.zone_time", "chime.mechanics", "chime.programme.machine_shape"}
    | MODELS - {"chime.verify.model"},
    "chime.writers": BASE | {"chime.zone_time", "chime.tape.geometry"} | MODELS,
    "chime.begin": BASE | {"chime.parsing"},
    "chime.catalogue": {"chime.diagnostics", "faults"},
    "chime.compiler": {"chime.diagnostics", "chime.file_access", *(f"chime.{s}" for s in STAGES)},
    "chime.cli": {"chime"},
    "chime.__main__": {"chime.cli"},
}
"""For each part of the package, what else of the package its modules may import. A part may always
import itself; `chime.x` stands for all that is in it."""

FUNCTIONS_FOR_ALL = {"chime.tape.geometry", "chime.programme.machine_shape"}
"""Modules of a stage whose functions later stages may call: a row and a length are written in one way, and
what a machine cannot be is the same for its block and for what is offered in its place."""

GROUPS = {
    "calendar": {"icalendar_file", "icalendar_text", "weekly_series", "zone_component"},
    "chart": {
        *("chart", "chart_callouts", "chart_choice", "chart_cover", "chart_drawing", "chart_faults"),
        *(
            "chart_lettering",
            "chart_letters",
            "chart_list",
            "chart_gauge",
            "chart_wall",
            "chart_proving",
            "chart_register",
            "chart_rota",
            "chart_rows",
            "chart_scale",
        ),
        *("chart_sheet_words", "chart_sheets", "chart_strip"),
    },
    "cut file": {"cut_file"},
    "closed day": {"closed_day_text"},
    "duties": {"duties_text"},
    "hole list": {"hole_list"},
    "lost track": {"lost_track_text"},
    "machine": {"machine_text"},
    "plan": {"plan_days", "plan_file", "plan_machine"},
    "options": {"term_options_text"},
    "rings": {"rings_text"},
    "term": {"term_text", "term_weeks"},
    "times": {"times_text", "times_weeks"},
    "why": {"why_day_text", "why_text", "why_words"},
}
"""The modules of each writer."""

SHARED_BY_WRITERS = {"model", "columns", "duty_words", "special_words", "tape_side", "verdict_words"}
"""Modules that every writer may import, and that import no writer."""

BRINGS_WRITERS_TOGETHER = {"registry"}

SHARED_BY_CHECKS = {"model", "faults", "machine_silence"}
"""Modules that every check may import. A check shares nothing else with another, so that a slip in one of
them is not a slip in both."""

MACHINE_CHECKS = {
    *("closing", "cures", "gate_judged", "judging", "loop_judged", "machine_faults", "machine_sheet"),
    *(
        "machine_verdicts",
        "machine_words",
        "other_value",
        "rows_judged",
        "tight_holes",
        "tracks_judged",
        "webs_judged",
    ),
}
"""The modules that judge the machine, and share its values and how they are judged."""

CHECK_GROUPS = ({"player", "rehearsal"}, MACHINE_CHECKS, {"machine_verdicts", "verdicts"})
"""Modules that make one check together; what they may share is with each other."""

BRINGS_CHECKS_TOGETHER = {"", "checks"}
"""The stage itself, and its tuple of checks."""

LIBRARIES = {
    "lark": {"chime.parsing"},
    "click": {"chime.cli"},
    "highspy": {"chime.planning"},
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

IMPORTS_BY_NAME = {"chime.catalogue", "chime.cli"}
"""Modules that import what a string names; what these strings are is looked at below."""

Imports = Mapping[str, set[str]]
"""What each module imports: `from chime.rings.model import Ring` as chime.rings.model.Ring."""


def sources() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        yield name, ast.parse(path.read_text(encoding="utf-8"))


def imported(module: str, tree: ast.Module) -> Iterator[str]:
    """Yield what a module imports."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} has a relative import"
            assert node.module is not None
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


MODULES = dict(sources())
IMPORTS: Imports = {name: set(imported(name, tree)) for name, tree in MODULES.items()}


def part_of(module: str) -> str:
    return ".".join(module.split(".")[:2])


def module_of(wanted: str) -> str:
    """The module in which something imported stands: of chime.rings.model.Ring it is chime.rings.model."""
    return wanted if wanted in MODULES else wanted.rpartition(".")[0]


def inner(module: str, stage: str) -> str | None:
    """The name of a module inside its stage, empty for the stage itself; None if it is of another one."""
    if module != f"chime.{stage}" and not module.startswith(f"chime.{stage}."):
        return None
    return module.removeprefix(f"chime.{stage}").removeprefix(".")


def allows(rule: str, wanted: str) -> bool:
    if rule == "faults":
        return "fault" in wanted.rsplit(".", 1)[-1] or wanted.rsplit(".", 1)[-1] in ("advice", "bug")
    return wanted == rule or wanted.startswith(rule + ".")


# -------------------------------------------------------------------------- the rules


def of_parts(imports: Imports) -> Iterator[str]:
    """A module imports only what its part of the package may."""
    for module, names in imports.items():
        part = part_of(module)
        if module != "chime" and part not in MAY_IMPORT:
            yield f"{part} has no place in the import rule"
            continue
        for wanted in sorted(names):
            place = module_of(wanted)
            if wanted.split(".")[0] != "chime" or part_of(place) == part or place == OF_EVERY_PART:
                continue
            if not any(allows(rule, place) for rule in MAY_IMPORT.get(part, ())):
                yield f"{module} imports {wanted}"


def of_records(imports: Imports) -> Iterator[str]:
    """A stage takes no function from a stage before it, only records and what describes them."""
    for module, names in imports.items():
        part = part_of(module)
        if part.removeprefix("chime.") not in STAGES:
            continue
        for wanted in sorted(names):
            place = module_of(wanted)
            stage = part_of(place).removeprefix("chime.")
            if stage not in STAGES or part_of(place) == part or place in FUNCTIONS_FOR_ALL:
                continue
            if inspect.isroutine(getattr(import_module(place), wanted.rpartition(".")[2], None)):
                yield f"{module} calls {wanted}"


def of_writers(imports: Imports) -> Iterator[str]:
    """A writer imports no other writer; what they share imports none of them."""
    group_of = {name: group for group, names in GROUPS.items() for name in names}
    for module, names in imports.items():
        own = inner(module, "writers")
        if not own or own in BRINGS_WRITERS_TOGETHER:
            continue
        if own not in group_of and own not in SHARED_BY_WRITERS:
            yield f"{module} is in no group of writers"
        for wanted in sorted(names):
            other = inner(module_of(wanted), "writers")
            if other is None or other in SHARED_BY_WRITERS:
                continue
            if other not in group_of or group_of[other] != group_of.get(own):
                yield f"{module} imports {wanted}"


def of_checks(imports: Imports) -> Iterator[str]:
    """A check imports no other check."""
    for module, names in imports.items():
        own = inner(module, "verify")
        if own is None or own in BRINGS_CHECKS_TOGETHER:
            continue
        for wanted in sorted(names):
            other = inner(module_of(wanted), "verify")
            together = any({own, other} <= group for group in CHECK_GROUPS)
            if other is not None and other not in SHARED_BY_CHECKS and not together:
                yield f"{module} imports {wanted}"


def of_libraries(imports: Imports) -> Iterator[str]:
    """An outside library has its home, and nothing else is wanted."""
    for module, names in imports.items():
        for library in sorted({wanted.split(".")[0] for wanted in names}):
            if library in LIBRARIES:
                if part_of(module) not in LIBRARIES[library]:
                    yield f"{module} imports {library}"
            elif library != "chime" and library not in sys.stdlib_module_names:
                yield f"{module} imports {library}, which has no home"


def of_imports_by_name(imports: Imports) -> Iterator[str]:
    """No import hides in a string."""
    for module, names in imports.items():
        if module not in IMPORTS_BY_NAME and names & {"importlib", "importlib.import_module"}:
            yield f"{module} imports by name"


RULES: tuple[Callable[[Imports], Iterator[str]], ...] = (
    of_parts,
    of_records,
    of_writers,
    of_checks,
    of_libraries,
    of_imports_by_name,
)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_the_package_keeps_the_rule(rule: Callable[[Imports], Iterator[str]]) -> None:
    assert list(rule(IMPORTS)) == []


@pytest.mark.parametrize(
    ("rule", "module", "wanted"),
    [
        (of_parts, "chime.newcomer", "chime.clock"),
        (of_parts, "chime.clock", "chime.zone_time"),
        (of_parts, "chime.diagnostics.look", "chime.parsing.tree"),
        (of_parts, "chime.programme.names", "chime.rings.model"),
        (of_parts, "chime.rings.days", "chime.programme.names"),
        (of_parts, "chime.rings.days", "chime.parsing.tree.Document"),
        (of_parts, "chime.tape.loop", "chime.rings.expand.expand"),
        (of_parts, "chime.verify.declarations", "chime.tape.geometry.row_of"),
        (of_parts, "chime.verify.declarations", "chime.tape.lay_out"),
        (of_parts, "chime.writers.hole_list", "chime.verify.verify"),
        (of_parts, "chime.writers.hole_list", "chime.cli"),
        (of_parts, "chime.compiler", "chime.cli.reading"),
        (of_parts, "chime.catalogue", "chime.rings.expand"),
        (of_records, "chime.tape.loop", "chime.rings.model.labels_of"),
        (of_records, "chime.writers.rings_text", "chime.rings.model.labels_of"),
        (of_writers, "chime.writers.hole_list", "chime.writers.chart_list.describe_tape"),
        (of_writers, "chime.writers.why_text", "chime.writers.rings_text.as_json"),
        (of_writers, "chime.writers.columns", "chime.writers.times_text"),
        (of_writers, "chime.writers.chart", "chime.writers.registry.write_all"),
        (of_writers, "chime.writers.newcomer", "chime.writers.model"),
        (of_checks, "chime.verify.declarations", "chime.verify.checks.CHECKS"),
        (of_checks, "chime.verify.gate_checks", "chime.verify.rehearsal.WAYS"),
        (of_checks, "chime.verify.declarations", "chime.verify.verify"),
        (of_checks, "chime.verify.declarations", "chime.verify.player"),
        (of_checks, "chime.verify.declarations", "chime.verify.judging.Found"),
        (of_checks, "chime.verify.loop_judged", "chime.verify.rehearsal.WAYS"),
        (of_checks, "chime.verify.verdicts", "chime.verify.judging.Found"),
        (of_libraries, "chime.rings.days", "holidays"),
        (of_libraries, "chime.writers.icalendar_file", "icalendar.Calendar"),
        (of_libraries, "chime.parsing.parser", "click"),
        (of_libraries, "chime.cli.reading", "requests"),
        (of_imports_by_name, "chime.rings.days", "importlib.import_module"),
    ],
)
def test_the_rule_refuses_a_planted_import(
    rule: Callable[[Imports], Iterator[str]], module: str, wanted: str
) -> None:
    planted = {**IMPORTS, module: {*IMPORTS.get(module, set()), wanted}}
    (breach,) = rule(planted)
    assert module in breach or part_of(module) in breach


def test_what_the_tests_plant_in_is_there() -> None:
    """A rule that is asked of modules that nobody has any more would never fail."""
    named = {f"chime.writers.{name}" for names in (*GROUPS.values(), SHARED_BY_WRITERS) for name in names}
    checks = SHARED_BY_CHECKS.union(*CHECK_GROUPS)
    named |= {f"chime.verify.{name}" for name in checks} | MODELS | FUNCTIONS_FOR_ALL
    named |= READS_PACKAGED_FILES | IMPORTS_BY_NAME
    assert named - set(MODULES) == set()
    assert {part_of(module) for module in MODULES} - {"chime"} == set(MAY_IMPORT)


def test_no_part_may_import_a_later_stage() -> None:
    for place, stage in enumerate(STAGES):
        later = [f"chime.{name}" for name in STAGES[place + 1 :]]
        assert not [rule for rule in MAY_IMPORT[f"chime.{stage}"] if part_of(rule) in later]


def test_the_modules_that_are_imported_by_name_have_their_place() -> None:
    assert [module for module in catalogue.MODULES if not allows("faults", module)] == []
    assert set(catalogue.MODULES) <= set(MODULES)
    (name,) = (
        node.args[0]
        for node in ast.walk(MODULES["chime.cli"])
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "import_module"
    )
    assert isinstance(name, ast.JoinedStr)
    assert ast.unparse(name.values[0]).strip("'") == "chime.cli."


# ------------------------------------------------------------------- the pure core


def impure_calls(module: str, tree: ast.Module) -> set[str]:
    """What a module calls that only the command line may: it reads, prints, exits, asks the time."""
    if part_of(module) == "chime.cli":
        return set()
    calls = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    functions = {f.id for f in calls if isinstance(f, ast.Name)}
    methods = {f.attr for f in calls if isinstance(f, ast.Attribute)}
    found = functions & {"print", "input", "exit"}
    found |= methods & {"exit", "write_text", "write_bytes", "now", "today", "utcnow"}
    if module not in READS_PACKAGED_FILES:
        found |= functions & {"open"} | methods & {"read_text", "read_bytes"}
    return found


@pytest.mark.parametrize("module", MODULES)
def test_only_the_command_line_reads_prints_and_exits(module: str) -> None:
    assert impure_calls(module, MODULES[module]) == set()


@pytest.mark.parametrize(
    "line",
    ["print(1)", "sys.exit(1)", "open(path)", "path.read_bytes()", "path.write_text('')", "date.today()"],
)
def test_an_impure_call_is_seen(line: str) -> None:
    tree = ast.parse(f"def work(path, date, sys):\n    {line}")
    assert len(impure_calls("chime.rings.days", tree)) == 1
    assert impure_calls("chime.cli.reading", tree) == set()


# -------------------------------------------------------------------------- the folders


def folders() -> list[str]:
    """The folders of the package that hold modules, in alphabetical order."""
    return sorted(path.name for path in PACKAGE.iterdir() if (path / "__init__.py").is_file())


def test_the_names_of_the_stages_sort_in_the_order_of_the_pipeline() -> None:
    assert set(folders()) >= NO_STAGES
    stages = [name for name in folders() if name not in NO_STAGES]
    assert stages == list(STAGES)
    assert compiler.__doc__ is not None
    (pipeline,) = re.findall("^text -> (.*) -> files$", compiler.__doc__, re.MULTILINE)
    assert pipeline.split(" -> ") == stages
    assert list(catalogue.IN_WORDS)[: len(stages)] == stages


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
