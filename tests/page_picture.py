"""Draw README's picture of the demo's page: ``python -m tests.page_picture``.

Both sheets as they are printed, side by side, by the system's Chromium.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from typer.testing import CliRunner

from tests.page.browser import browsing
from vanclimate import cli

PICTURE = Path(__file__).parents[1] / "docs" / "figures" / "page.png"
WIDE, HIGH, MARGIN = 744, 1052, 34  # px of A4 within its margins, and of a margin


def main() -> None:
    """Write the picture."""
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder, "page.html")
        done = CliRunner().invoke(cli.app, ["night", "--page", str(page)])
        assert done.exit_code == 0, done.output
        beside = (
            f"<style>@media print {{ body {{ background: #d9d6cf; }} main {{ display: flex; "
            f"gap: {MARGIN}px; padding: {MARGIN}px; width: max-content; }} .sheet.sheet {{ "
            f"width: {WIDE + 2 * MARGIN}px; height: {HIGH + 2 * MARGIN}px; padding: {MARGIN}px; "
            "background: white; }} }}</style></head>"
        )
        text = page.read_text(encoding="utf-8").replace("</head>", beside, 1)
        page.write_text(text, encoding="utf-8")
        with browsing() as browser:
            shown = browser.new_page(
                viewport={"width": 2 * WIDE + 7 * MARGIN, "height": HIGH + 4 * MARGIN},
                device_scale_factor=0.8,
            )
            shown.emulate_media(media="print", color_scheme="light")
            shown.goto(page.as_uri())
            shown.screenshot(path=PICTURE)


if __name__ == "__main__":
    main()
