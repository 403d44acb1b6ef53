"""Options and fixtures of the tests."""

import zoneinfo
from collections.abc import Iterator

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--update",
        action="store_true",
        help="write what is found into the cases and golden files; read the difference before you keep it",
    )


@pytest.fixture
def update(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--update"))


@pytest.fixture
def zones_of_the_package() -> Iterator[None]:
    """Let other readers use the zone data of the `tzdata` package, not an older copy of the machine."""
    before = zoneinfo.TZPATH
    zoneinfo.reset_tzpath(to=[])
    zoneinfo.ZoneInfo.clear_cache()
    yield
    zoneinfo.reset_tzpath(to=before)
    zoneinfo.ZoneInfo.clear_cache()
