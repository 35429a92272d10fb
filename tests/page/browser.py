"""A browser for the tests of pages: the system's own, without a network."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

OPTIONS = ("--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
           "--disable-component-update", "--disable-sync")  # fmt: skip


def chromium() -> str | None:
    """Return the file of the system's Chromium, None where there is none."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


@contextmanager
def browsing() -> Iterator[Any]:
    """Give a browser of playwright's."""
    from playwright.sync_api import sync_playwright

    root = hasattr(os, "geteuid") and os.geteuid() == 0
    options = [*OPTIONS, *(["--no-sandbox"] if root else [])]
    with sync_playwright() as tool:
        browser = tool.chromium.launch(executable_path=chromium(), args=options)
        try:
            yield browser
        finally:
            browser.close()
