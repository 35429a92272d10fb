"""How an answer shows itself in a notebook, once it has been told how.

Pages stand above answers and imports go one way, so it is the package as a whole that tells it
(`vanclimate/__init__.py`). What does not belong here: what is shown (page/notebook.py).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar

if TYPE_CHECKING:
    from matplotlib.figure import Figure


class Shown:
    """An answer that a notebook shows as its verdict, its picture and its figures."""

    as_html: ClassVar[Callable[[Any], str]]
    as_chart: ClassVar[Callable[[Any, float], Figure]]

    def _repr_html_(self) -> str:
        return type(self).as_html(self)

    def plot(self, width: float = 700.0) -> Figure:
        """Return the picture that explains the answer, as its page has it.

        Parameters
        ----------
        width : px; below some 400 it is drawn for a phone

        Returns
        -------
        matplotlib.figure.Figure
            A notebook shows it; ``savefig`` writes it to a file.
        """
        return type(self).as_chart(self, width)
