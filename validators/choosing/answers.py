"""What a choice says: rows, the values reached, why, and what it leaves open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from validators.findings import Finding

STATES = ("chosen", "short", "not possible", "not answerable")
"""chosen: an answer.  short: an answer once what is missing is bought.  not possible: no answer exists.
not answerable: something is not measured or not given."""


@dataclass(frozen=True, slots=True)
class Reached:
    """One aim, in the order they are met: what it is, and the value with the choice and as it stands now."""

    aim: str
    value: float
    unit: str = ""
    now: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The answer to one of the choices.

    Attributes
    ----------
    topic : str
        What is chosen.
    state : str
        One of `STATES`.
    rows : tuple of mapping
        One for each place, with its choice and what stands there now.
    reached : tuple of Reached
        The aims in their order.
    limits : tuple of str
        What keeps the answer from being better.
    next_best : str
        The best answer that differs, and what it costs.
    one_more : tuple of str
        What one more of something would buy.
    shortfall : tuple of str
        What is missing for an answer, or why there is none.
    doubts : tuple of str
        Where the advantage is smaller than the uncertainty, or the best is not proved.
    order : tuple of str
        What the choice needs in all, to be taken from stock or ordered.
    left_out : tuple of str
        Places that are not answered, and why.
    again : tuple of str
        What must be measured again when the choice is made.
    """

    topic: str
    state: str
    rows: tuple[Mapping[str, Any], ...] = ()
    reached: tuple[Reached, ...] = ()
    limits: tuple[str, ...] = ()
    next_best: str = ""
    one_more: tuple[str, ...] = ()
    shortfall: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    order: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    again: tuple[str, ...] = ()

    @property
    def to_act_on(self) -> bool:
        """True when something must be changed, bought, measured or put right."""
        return self.state != "chosen" or bool(self.left_out) or any(row.get("change") for row in self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Every answer about one workbook.  `changes` are the entries that the choice changes, by cell name."""

    file: str
    digest: str = ""
    job: str = ""
    layout: str = ""
    family: str = ""
    unit: str = ""
    readable: bool = True
    first: tuple[Finding, ...] = ()
    answers: tuple[Answer, ...] = ()
    sequence: tuple[str, ...] = ()
    changes: Mapping[str, float | str | None] = field(default_factory=dict)

    @property
    def exit_status(self) -> int:
        """0 nothing to act on, 1 something to act on, 2 could not be read."""
        if not self.readable:
            return 2
        return 1 if self.first or any(answer.to_act_on for answer in self.answers) else 0


def count_of(number: int, one: str, many: str = "") -> str:
    """Return a number with its word.

    Examples
    --------
    >>> count_of(1, "shell"), count_of(3, "shell"), count_of(2, "half", "halves")
    ('1 shell', '3 shells', '2 halves')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"
