"""Options of the tests."""

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
