"""Texts typed, or pasted, where a number belongs: no result may be an error or a wrong figure for them."""

from __future__ import annotations

import random
from collections.abc import Mapping

from sheetgen.plan import Plan

TEXTS = ("wrong", "12,5 mm", "?", " ", "86.0", "-", "1.234,5", "see note")
EVERY, FEW, MANY = 4, 6, 60
"""One build in so many has texts, a few of them or many."""

COUNTING = ("stage_missing", "missing_total")
"""What counts blanks: to the sheet a text is there, to the core it is no number."""

Shown = float | str | None


def has_texts(seed: int) -> bool:
    """Return whether the build of a seed has texts among its numbers."""
    return seed % EVERY == EVERY - 1


def with_texts(plan: Plan, build: Mapping[str, Shown], seed: int) -> dict[str, Shown]:
    """Return a build with texts in some cells for numbers; the same seed gives the same build.

    Examples
    --------
    >>> from sheetgen.build import new_build
    >>> from sheetgen.plan import plan_workbook
    >>> build = with_texts(plan_workbook(new_build("inline-3")), {}, 3)
    >>> len(build), all(text in TEXTS for text in build.values())
    (6, True)
    """
    chance = random.Random(f"texts {seed}")
    entries = plan.catalogue.entries
    numbers = [cell.name for cell in plan.cells if cell.is_input and entries[cell.key].measure]
    count = MANY if seed // EVERY % 8 == EVERY else FEW
    return {**build, **{name: chance.choice(TEXTS) for name in chance.sample(numbers, count)}}
