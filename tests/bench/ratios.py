"""Speed as ratios, measured as whole processes side by side; prints, and judges nothing.

    python tests/bench/ratios.py [--quick]

Each pair is run in turn (A B A B ...) and the median of the ratios pair by pair is printed, so that a
machine that slows down slows both. Peak memory is the kernel's own count for the finished process. The
checks of long files are done in one process, each size in turn; --quick leaves out the longest.
"""

import gc
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TypeVar

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from tests.bench import year_programme

if TYPE_CHECKING:
    from chime.file_access import Unreadable

PYTHON = sys.executable
T = TypeVar("T")


class Run(NamedTuple):
    """Seconds and peak memory (MiB) of one finished process."""

    seconds: float
    peak_mib: float


def run(command: Sequence[str]) -> Run:
    """Run a command to its end, its output thrown away."""
    begin = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(process.pid, 0)
    seconds = time.perf_counter() - begin
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, f"{' '.join(command)} failed"
    return Run(seconds, usage.ru_maxrss / 1024)


def compare(name: str, ours: Sequence[str], other: Sequence[str], rounds: int) -> None:
    """Print the median ratio of our command against another, pair by pair."""
    run(ours), run(other)
    pairs = [(run(ours), run(other)) for _ in range(rounds)]
    ratios = sorted(a.seconds / b.seconds for a, b in pairs)
    middle = statistics.median(ratios)
    peak = max(a.peak_mib for a, _ in pairs)
    print(f"{name:<58} {middle:6.2f} x   ({ratios[0]:.2f} to {ratios[-1]:.2f}; peak {peak:.0f} MiB)")


def _python(code: str) -> list[str]:
    return [PYTHON, "-c", code]


def _chime(*arguments: str) -> list[str]:
    return [PYTHON, "-c", "from chime.__main__ import main; main()", *arguments]


def no_file(_: str) -> "Unreadable":
    """Give no file to a programme that names none."""
    from chime.file_access import Unreadable

    return Unreadable("none")


def least(work: Callable[[], T], rounds: int = 5) -> tuple[T, float]:
    """Return what some work gives and the least seconds it took."""
    times = []
    for _ in range(rounds):
        begin = time.perf_counter()
        result = work()
        times.append(time.perf_counter() - begin)
    return result, min(times)


def lines_per_second(sizes: Sequence[int], rounds: int) -> None:
    """Print how fast files of growing size are checked, in lines a second, and how even that is."""
    texts = [year_programme.long_text(size) for size in sizes]
    rates = [[_rate(text) for text in texts] for _ in range(rounds)]
    for place, text in enumerate(texts):
        rate = statistics.median(each[place] for each in rates)
        print(f"{f'check of {text.count(chr(10)):,} lines':<58} {rate:8,.0f} lines/s")
    evenness = sorted(each[-1] / each[0] for each in rates)
    name = f"rate at {sizes[-1]:,} lines against that at {sizes[0]:,} (1 is flat)"
    print(f"{name:<58} {statistics.median(evenness):6.2f} x   ({evenness[0]:.2f} to {evenness[-1]:.2f})")


def _rate(text: str) -> float:
    from chime.compiler import check

    content = text.encode()
    gc.disable()  # as the command does
    found, seconds = least(partial(check, "long.chime", content, no_file), 1)
    gc.enable()
    gc.collect()
    assert found.diagnostics == (), found.diagnostics[:3]
    return text.count("\n") / seconds


def peak_memory(name: str, ours: Sequence[str], other: Sequence[str]) -> None:
    """Print the peak memory of our command and how much more that is than another's."""
    peak, base = (run(command).peak_mib for command in (ours, other))
    print(f"{name:<58} {peak:6.0f} MiB ({peak / base:.2f} x the {base:.0f} MiB of the imports)")


def reading_rings(folder: Path, programme: Path) -> None:
    """Print how much faster a year's rings are made and read here than expanded from a calendar."""
    import icalendar
    import recurring_ical_events

    from chime.compiler import check

    out = folder / "out"
    subprocess.run(
        _chime("compile", str(programme), "--out", str(out)), check=True, stdout=subprocess.DEVNULL
    )
    content = programme.read_bytes()

    def ours() -> tuple[int, int]:
        calendar = check("year.chime", content, no_file).calendar
        assert calendar is not None
        seconds = sum(ring.length_ms for ring in calendar.rings) // 1000
        return len(calendar.rings), seconds + sum(
            len(label) for ring in calendar.rings for label in ring.labels
        )

    def theirs() -> tuple[int, int]:
        calendar = icalendar.Calendar.from_ical((out / "calendar.ics").read_bytes())
        events = recurring_ical_events.of(calendar).between((2026, 9, 1), (2027, 8, 1))
        seconds = sum(int((event.end - event.start).total_seconds()) for event in events)
        return len(events), seconds + sum(len(str(event["SUMMARY"])) for event in events)

    timed = [least(ours), least(theirs)]
    assert timed[0][0][0] == timed[1][0][0], timed
    name = f"{timed[0][0][0]:,} rings made and read, against a calendar reader"
    print(f"{name:<58} {timed[1][1] / timed[0][1]:6.0f} x   faster")


def verdicts_of_a_week() -> None:
    """Print what all checks of the machine take, against laying out the same tape."""
    from chime.compiler import check
    from chime.tape.lay_out import lay_out
    from chime.verify.machine_verdicts import judge_machine

    checked = check("week.chime", year_programme.week_text().encode(), no_file)
    programme, calendar = checked.programme, checked.calendar
    assert programme is not None
    assert calendar is not None
    laid, laying = least(lambda: lay_out(programme, calendar))
    tapes, machine = laid.tapes, programme.machine
    assert tapes is not None, laid.diagnostics
    assert machine is not None
    judged, judging = least(lambda: judge_machine(machine, tapes, programme.signals))
    assert judged.diagnostics == (), judged.diagnostics[0].headline
    holes = sum(len(tape.holes) for tape in tapes.tapes)
    print(f"{f'all checks of {holes:,} holes, against laying them out':<58} {judging / laying:6.2f} x")


def chart_of_a_year(programme: Path) -> None:
    """Print what the chart and the rehearsal of a year take once everything is imported."""
    from chime.compiler import check, lay_open
    from chime.tape.lay_out import lay_out
    from chime.verify.rehearsal import the_plan_plays
    from chime.writers import chart

    content = programme.read_bytes()
    proven = lay_open("year.chime", content, no_file)
    checked = check("year.chime", content, no_file)
    assert proven.verified is not None
    assert checked.programme is not None
    assert checked.calendar is not None
    verified, tapes = proven.verified, lay_out(checked.programme, checked.calendar).tapes
    assert tapes is not None
    made, seconds = least(lambda: chart.write(verified))
    print(
        f"{f'a complete chart of {len(made.sheets)} sheets':<58} {seconds:6.2f} s   (half a second is wanted)"
    )
    _, seconds = least(partial(the_plan_plays, checked.programme, checked.calendar, tapes))
    print(f"{'the rehearsal of that year':<58} {seconds:6.2f} s   (a second is wanted)")


def prepare() -> None:
    """Bring the checkout to the state of an installed package: tables saved, modules compiled."""
    import compileall

    from chime.parsing import grammar

    text = grammar.grammar_text()
    Path(grammar.TABLES).write_bytes(grammar.saved_tables(text))
    compileall.compile_dir(str(Path(grammar.__file__).parent.parent), quiet=1)


def main() -> None:
    """Print every ratio."""
    quick = "--quick" in sys.argv
    rounds = 3 if quick else 15
    prepare()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        plain, holidays = folder / "year.chime", folder / "holidays.chime"
        plain.write_text(year_programme.text(), encoding="utf-8")
        holidays.write_text(year_programme.text(holidays=True), encoding="utf-8")
        base = _python("import lark, click")
        compare(
            "check of a year, four zones, against import lark, click",
            _chime("check", str(plain)),
            base,
            rounds,
        )
        compare("the same with public holidays", _chime("check", str(holidays)), base, rounds)
        heavy = _python("import lark, click, icalendar, jinja2, typst")
        compile_ = _chime("compile", str(plain), "--out", str(folder / "made"))
        compare("compile, against import of what it stands on", compile_, heavy, rounds)
        peak_memory("peak memory of that compile", compile_, heavy)
        reading_rings(folder, plain)
        chart_of_a_year(plain)
        verdicts_of_a_week()
        if quick:
            lines_per_second((1_000, 5_000), 2)
        else:
            lines_per_second((1_000, 5_000, 50_000), 5)


if __name__ == "__main__":
    main()
