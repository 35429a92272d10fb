"""The docs as a static site: ``sphinx-build -W --keep-going -b html docs build/docs``."""

import re
from typing import Any

from vanclimate import __version__

project = "vanclimate"
author = project_copyright = "The vanclimate authors"
version = release = __version__

extensions = ["myst_nb", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
exclude_patterns = ["changes", "_build"]
html_theme = "furo"
html_title = "vanclimate"
html_static_path = ["_static"]
html_css_files = ["wide.css"]
html_show_copyright = False
html_copy_source = False
html_show_sourcelink = False

myst_heading_anchors = 3  # links such as odds.md#the-unknowns
nb_execution_mode = "force"  # the tutorial runs in every build, and an error of it is the build's
nb_execution_raise_on_error = True
nb_execution_in_temp = True
nb_execution_timeout = 300

autodoc_typehints = "description"
autodoc_typehints_description_target = "documented"
autodoc_member_order = "bysource"
napoleon_google_docstring = False

ONE_LINE = re.compile(r"^([\w, ]+?) : ((?:[a-z']|SI\b).*)$")


def one_line_parameters(
    app: Any, what: str, name: str, obj: Any, options: Any, lines: list
) -> None:
    """Set what follows a parameter's name on a line of its own: ours begin with a small letter."""
    lines[:] = [part for line in lines for part in ONE_LINE.sub(r"\1\n    \2", line).split("\n")]


def setup(app: Any) -> None:
    """Read our docstrings before napoleon does."""
    app.connect("autodoc-process-docstring", one_line_parameters, priority=400)
