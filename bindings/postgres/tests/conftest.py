"""One server for all tests of a run."""

import pytest

from server import running


@pytest.fixture(scope="session")
def server():
    with running() as started:
        yield started
