"""Whom to call first, and what to say: findings by person, job and file, worst first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from validators.findings import BatchReport, Brief, Finding, Severity, speaks_of_engine


@dataclass(frozen=True)
class Errand:
    """One thing to ask for, and the findings that it settles."""

    todo: str
    severity: Severity
    about_engine: bool
    findings: tuple[tuple[str, Finding], ...]  # with the place on the page that tells of it

    @property
    def about(self) -> str:
        """What the findings speak of."""
        if self.about_engine:
            return "the engine"
        return "the pile" if self.findings[0][1].about_pile else "the sheet"


@dataclass(frozen=True)
class Concern:
    """One file that a call is about."""

    number: int  # of the file within the report, from 1
    sheet: Brief
    names: tuple[tuple[Severity, str, int], ...]  # how often each kind of finding stands there, worst first
    of_pile: tuple[tuple[str, Finding], ...] = ()  # what the pile says of it, with its place on the page
    same: tuple[str, ...] = ()  # files that are the same byte for byte, about which nothing more is said

    @property
    def anchor(self) -> str:
        """The place on the page that tells of the file: its own part, or what the pile says of it."""
        return f"file-{self.number}" if self.sheet.exit_status else self.of_pile[0][0]

    def count(self, severity: Severity) -> int:
        """Return how many findings are that bad; one for information calls for nobody."""
        return sum(count for level, _, count in self.names if level is severity)


@dataclass(frozen=True)
class Job:
    """The files of one job within a call."""

    name: str
    concerns: tuple[Concern, ...]


@dataclass(frozen=True)
class Call:
    """Everything to tell one person; `who` is empty where the job card names nobody."""

    who: str
    unread: bool
    jobs: tuple[Job, ...]

    @cached_property
    def concerns(self) -> tuple[Concern, ...]:
        """All files of the call."""
        return tuple(concern for job in self.jobs for concern in job.concerns)

    @cached_property
    def blocking(self) -> int:
        """How many findings block an assembly."""
        return sum(concern.count(Severity.BLOCKS) for concern in self.concerns)

    @cached_property
    def looking(self) -> int:
        """How many findings need a look."""
        return sum(concern.count(Severity.LOOK) for concern in self.concerns)

    @property
    def held_jobs(self) -> int:
        """How many jobs wait for something that blocks."""
        return sum(any(c.count(Severity.BLOCKS) for c in job.concerns) for job in self.jobs)

    @property
    def order(self) -> tuple[int, bool, int, int, str]:
        """What sorts calls: most jobs set free, somebody named, most that blocks, most to look at, name."""
        return -self.held_jobs, not self.who, -self.blocking, -self.looking, self.who.casefold()


def calls_of(report: BatchReport) -> tuple[Call, ...]:
    """Return the calls to make, the first one first; files with nothing to act on need none.

    A person is known by the job card's "Measured by"; spelling with other capitals or spaces is the same
    person.  Files that could not be read name nobody and stand together.  What the pile says of a file, such
    as that it is an older copy, is told to whoever measured it.  Of files that are the same byte for byte
    only the first is told.
    """
    of_pile: dict[str, list[tuple[str, Finding]]] = {}
    for number, finding in enumerate(report.findings, 1):
        if finding.severity is not Severity.INFORMATION:
            of_pile.setdefault(finding.place.file, []).append((f"pile-{number}", finding))
    people: dict[tuple[str, bool], list[Concern]] = {}
    first: dict[str, int] = {}
    same: dict[int, list[str]] = {}
    spelt: dict[tuple[str, bool], str] = {}
    for number, sheet in enumerate(report.briefs, 1):
        told = tuple(of_pile.get(sheet.file, ()))
        names = _names(sheet, told)
        if not names:
            continue
        if sheet.digest and sheet.digest in first:
            same.setdefault(first[sheet.digest], []).append(sheet.file)
            continue
        first[sheet.digest] = number
        who = " ".join(sheet.measured_by.split())
        key = who.casefold(), sheet.unread
        spelt.setdefault(key, who)
        people.setdefault(key, []).append(Concern(number, sheet, names, told))
    calls = [
        Call(spelt[key], key[1], _jobs([replace(c, same=tuple(same.get(c.number, ()))) for c in concerns]))
        for key, concerns in people.items()
    ]
    return tuple(sorted(calls, key=lambda call: call.order))


def _names(sheet: Brief, of_pile: Iterable[tuple[str, Finding]]) -> tuple[tuple[Severity, str, int], ...]:
    counts: Counter[tuple[Severity, str]] = Counter()
    for severity, _, name, count in sorted(sheet.kinds, key=lambda kind: speaks_of_engine(kind[1])):
        if severity is not Severity.INFORMATION:
            counts[severity, name] += count
    counts.update((finding.severity, finding.name) for _, finding in of_pile)
    ordered = sorted(counts.items(), key=lambda pair: pair[0][0].rank)
    return tuple((severity, name, count) for (severity, name), count in ordered)


def errands_for(report: BatchReport, concern: Concern) -> tuple[Errand, ...]:
    """Return what is to be done about a file, what the pile says of it among it."""
    findings = report.told(concern.number - 1).findings
    own = [(f"file-{concern.number}-{place}", finding) for place, finding in enumerate(findings, 1)]
    return errands_of([*own, *concern.of_pile])


def errands_of(findings: Iterable[tuple[str, Finding]]) -> tuple[Errand, ...]:
    """Return what is to be done about findings, what blocks first, each thing said once."""
    grouped: dict[tuple[int, bool, str], list[tuple[str, Finding]]] = {}
    for anchor, finding in findings:
        if finding.severity is not Severity.INFORMATION:
            key = finding.severity.rank, finding.about_engine, finding.todo
            grouped.setdefault(key, []).append((anchor, finding))
    return tuple(
        Errand(todo, list(Severity)[rank], engine, tuple(grouped[rank, engine, todo]))
        for rank, engine, todo in sorted(grouped, key=lambda key: key[:2])
    )


def _jobs(concerns: list[Concern]) -> tuple[Job, ...]:
    jobs: dict[str, list[Concern]] = {}
    for concern in concerns:
        jobs.setdefault(concern.sheet.job.strip(), []).append(concern)
    made = [Job(name, tuple(sorted(held, key=_worst_first))) for name, held in jobs.items()]
    return tuple(sorted(made, key=lambda job: (_worst_first(job.concerns[0]), job.name)))


def _worst_first(concern: Concern) -> tuple[int, int, int]:
    return -concern.count(Severity.BLOCKS), -concern.count(Severity.LOOK), concern.number
