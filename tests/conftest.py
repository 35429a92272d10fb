"""What all tests run in, and in which order.

Output is as wide as a pipe's, whatever terminal they are started from. Tests that never run the
compiled loop come last: of several processes the first compiles it, which takes a minute, while
the last, which starts at the end of the row, is busy with them.
"""

import os
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

HERE = Path(__file__).parent
WITHOUT_LOOP = {"network", "physics", "site", "van"}

os.environ.pop("COLUMNS", None)
# a shell starts a script in the background deaf to Ctrl-C, and its children with it
signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the tests of folders that never run the loop last."""
    items.sort(key=lambda item: item.path.relative_to(HERE).parts[0] in WITHOUT_LOOP)


@pytest.fixture(scope="session", autouse=True)
def few_draws() -> Iterator[None]:
    """Draw 16 vans for a night's odds in place of 64: nearly all tests ask about something else."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("vanclimate.answers.night_odds.DRAWS", 16)
        yield
