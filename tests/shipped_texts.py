"""The programmes and machines that are shipped or sampled, as texts."""

from functools import partial
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

law = partial(
    settings, derandomize=True, database=None, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)

TESTS = Path(__file__).resolve().parent

FILES = {
    path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
    for folder in (TESTS / "samples", TESTS.parent / "programmes")
    for path in sorted(folder.rglob("*.*"))
}
"""Every programme of the tests' own and of the project, with the files that they use."""

PROGRAMMES = sorted(name for name, text in FILES.items() if 'programme "' in text)

MACHINES = sorted(name for name, text in FILES.items() if "\nmachine " in text and name not in PROGRAMMES)

MIXERS = st.randoms(use_true_random=True)
"""Sources of chance whose seed hypothesis draws."""
