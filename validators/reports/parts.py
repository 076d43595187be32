"""The pages beside a report on a very large pile, and which files stand on which."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import quote

from validators.findings import BatchReport
from validators.reports.calls import Call
from validators.reports.kinds import PER_PAGE


@dataclass(frozen=True, kw_only=True)
class Part:
    """One page on which some of the files stand.

    Attributes
    ----------
    href : str
        The way to it from the page about the whole pile.
    name : str
        Of the file.
    numbers : tuple of int
        Of its files within the report, from 1.
    acting : int
        How many of them have something to act on.
    people : tuple of str
        Who measured them.
    before, after : str
        The way to the pages beside it, "" where there is none.
    """

    number: int
    href: str
    name: str
    numbers: tuple[int, ...]
    acting: int
    people: tuple[str, ...]
    before: str
    after: str

    def __hash__(self) -> int:
        return self.number


def parts_of(report: BatchReport, calls: Sequence[Call], folder: str) -> tuple[Part, ...]:
    """Return the pages for the files of a pile: in the order of the calls, then those that need none.

    Parameters
    ----------
    report : BatchReport
        The pile.
    calls : sequence of Call
        Its calls.
    folder : str
        What the folder is called in which the pages lie.
    """
    ordered = list(_ordered(report, calls))
    count = -(-len(ordered) // PER_PAGE)
    parts = []
    for number in range(1, count + 1):
        numbers = tuple(ordered[(number - 1) * PER_PAGE : number * PER_PAGE])
        briefs = [report.briefs[at - 1] for at in numbers]
        people = dict.fromkeys(who for brief in briefs if (who := " ".join(brief.measured_by.split())))
        parts.append(Part(
            number=number, name=_name(number), href=quote(f"{folder}/{_name(number)}"), numbers=numbers,
            acting=sum(brief.exit_status > 0 for brief in briefs), people=tuple(people),
            before=_name(number - 1) if number > 1 else "", after=_name(number + 1) if number < count else "",
        ))
    return tuple(parts)


def _ordered(report: BatchReport, calls: Sequence[Call]) -> Iterator[int]:
    called = [concern.number for call in calls for concern in call.concerns]
    yield from called
    known = set(called)
    rest = [number for number in range(1, len(report.briefs) + 1) if number not in known]
    yield from sorted(rest, key=lambda number: -report.briefs[number - 1].exit_status)


def _name(number: int) -> str:
    return f"page-{number:04}.html"
