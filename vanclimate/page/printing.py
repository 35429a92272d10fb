"""A page to PDF, by a browser of the Chromium family that is installed.

What does not belong here: the page (make.py).
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from vanclimate.errors import OptionError

OWN = "VANCLIMATE_BROWSER"  # in the environment: the browser's own file
NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome",
         "microsoft-edge", "msedge")  # fmt: skip
PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
"""Where browsers of that family are found; each prints to PDF by the same options."""
LONGEST = 90.0  # s that printing may take


def browser() -> str | None:
    """Return the file of a browser that prints, None where there is none."""
    own = os.environ.get(OWN)
    if own:
        return shutil.which(own)
    found = next((path for name in NAMES if (path := shutil.which(name))), None)
    return found or next((place for place in PLACES if Path(place).is_file()), None)


def printed(page: str, paper: str, target: Path) -> bytes:
    """Return a page as PDF.

    Parameters
    ----------
    page : HTML that needs nothing else
    paper : 'A4' or 'Letter'
    target : what is asked for, for the message

    Raises
    ------
    OptionError : the browser fails or takes too long
    """
    program = browser()
    assert program, "write.check_page asks"
    with tempfile.TemporaryDirectory(prefix="vanclimate-", ignore_cleanup_errors=True) as folder:
        source, out = Path(folder, "page.html"), Path(folder, "page.pdf")
        sized = page.replace("</head>", f"<style>@page {{ size: {paper} }}</style></head>", 1)
        source.write_text(sized, encoding="utf-8")
        command = [
            program, "--headless", "--disable-gpu", "--disable-extensions", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            "--disable-quic", "--no-pdf-header-footer", f"--user-data-dir={folder}/profile",
            f"--print-to-pdf={out}", source.as_uri(),
        ]  # fmt: skip
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.insert(1, "--no-sandbox")  # which root cannot have
        try:
            subprocess.run(command, capture_output=True, timeout=LONGEST, check=True)
            return out.read_bytes()
        except (OSError, subprocess.SubprocessError) as error:
            reason = f"{Path(program).name} did not print it ({type(error).__name__})"
            web = target.with_suffix(".html")
            raise OptionError("--page", str(target), f"{web}, printed by hand", reason) from None
