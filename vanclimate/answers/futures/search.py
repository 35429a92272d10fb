"""The first of some sizes that is enough, by as few trials as may be: the more the better.

What does not belong here: what is tried.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence


def halved(low: int, high: int, enough: Callable[[int], bool]) -> int:
    """Return the least that is enough, between one that is not and one that is, by halves.

    >>> halved(0, 10, lambda i: i >= 7)
    7
    """
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def smallest(count: int, enough: Callable[[int], bool], guess: int = 0) -> int | None:
    """Return the first of so many that is enough, None where the last is not.

    From a guess on by steps that double, then by halves. The one before the first has been tried.
    """
    at = min(max(guess, 0), count - 1)
    step = 1
    if enough(at):
        low, high = at - 1, at
        while low >= 0 and enough(low):
            step *= 2
            low, high = low - step, low
        return halved(max(low, -1), high, enough)
    low, high = at, at + 1
    while high < count and not enough(high):
        step *= 2
        low, high = high, high + step
    if high >= count:
        if low >= count - 1 or not enough(count - 1):
            return None
        high = count - 1
    return halved(low, high, enough)


def first_at_least(sizes: Sequence[float], value: float) -> int:
    """Return the position of the first size that is no less than a value, else of the last."""
    return next((i for i, size in enumerate(sizes) if size >= value - 1e-6), len(sizes) - 1)
