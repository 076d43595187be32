"""How far equal parts differ: the middle of some readings, and which of them is unlike the others."""

from __future__ import annotations

import statistics
from collections.abc import Sequence

TO_SIGMA = 1.4826
"""Standard deviations of a normal spread in one median absolute deviation."""

UNLIKE, LIKE = 3.5, 3.0
"""So many standard deviations from the middle a reading is unlike the others, or like them again."""

FEWEST = 4


def scale(values: Sequence[float], floor: float) -> float:
    """Return the spread of equal parts, never under what such parts have at least.

    Source: statistics handbooks, modified z score, from memory; the floor keeps a set of four from
    crying wolf.

    Examples
    --------
    >>> round(scale([86.010, 86.012, 86.009, 86.011, 86.013, 86.010, 86.031, 86.011], 0.004), 9)
    0.004
    """
    middle = statistics.median(values)
    return max(TO_SIGMA * statistics.median(abs(value - middle) for value in values), floor)


def unlike(values: Sequence[float], floor: float) -> list[int]:
    """Return which of some readings are unlike the others, by their number from 0.

    Examples
    --------
    >>> unlike([86.010, 86.012, 86.009, 86.011, 86.013, 86.010, 86.031, 86.011], 0.004)
    [6]
    >>> unlike([86.010, 86.012, 86.009, 86.018], 0.004), unlike([1.0, 2.0, 9.0], 0.1)
    ([], [])
    """
    if len(values) < FEWEST:
        return []
    middle, width = statistics.median(values), scale(values, floor)
    return [number for number, value in enumerate(values) if abs(value - middle) > UNLIKE * width]


def digits_swapped(value: float, middle: float, width: float, decimals: int = 0) -> float | None:
    """Return what a number would be with two neighbouring digits swapped, if that is like the others.

    Examples
    --------
    >>> digits_swapped(86.102, 86.012, 0.004), digits_swapped(86.066, 86.011, 0.004)
    (86.012, None)
    >>> digits_swapped(86.04, 86.001, 0.004, decimals=3)
    86.004
    """
    text = f"{value:.10g}"
    whole, _, behind = text.partition(".")
    if "e" not in text and len(behind) < decimals:
        text = f"{whole}.{behind:0<{decimals}}"
    found = []
    for place in range(len(text) - 1):
        first, second = text[place], text[place + 1]
        if first.isdigit() and second.isdigit() and first != second:
            swapped = float(f"{text[:place]}{second}{first}{text[place + 2:]}")
            if abs(swapped - middle) <= LIKE * width:
                found.append(swapped)
    return min(found, key=lambda swapped: abs(swapped - middle), default=None)
