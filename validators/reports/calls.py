"""Whom to call first, and what to say: findings by person, job and file, worst first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from validators.findings import BatchReport, Finding, Severity, SheetReport, Status


@dataclass(frozen=True)
class Errand:
    """One thing to ask for, and the findings that it settles."""

    todo: str
    severity: Severity
    about_engine: bool
    findings: tuple[tuple[int, Finding], ...]  # with the finding's number within its file


@dataclass(frozen=True)
class Concern:
    """One file that a call is about."""

    number: int  # of the file within the report, from 1
    sheet: SheetReport
    errands: tuple[Errand, ...]

    def count(self, severity: Severity) -> int:
        """Return how many findings are that bad."""
        return sum(finding.severity is severity for finding in self.sheet.findings)


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
    person.  Files that could not be read name nobody and stand together.
    """
    people: dict[tuple[str, bool], list[Concern]] = {}
    spelt: dict[tuple[str, bool], str] = {}
    for number, sheet in enumerate(report.sheets, 1):
        if sheet.exit_status == 0:
            continue
        who = " ".join(sheet.measured_by.split())
        key = who.casefold(), sheet.status is Status.UNREADABLE
        spelt.setdefault(key, who)
        people.setdefault(key, []).append(Concern(number, sheet, errands_of(sheet.findings)))
    calls = [Call(spelt[key], key[1], _jobs(concerns)) for key, concerns in people.items()]
    return tuple(sorted(calls, key=lambda call: call.order))


def errands_of(findings: Iterable[Finding]) -> tuple[Errand, ...]:
    """Return what is to be done about findings, what blocks first, each thing said once."""
    grouped: dict[tuple[int, bool, str], list[tuple[int, Finding]]] = {}
    for number, finding in enumerate(findings, 1):
        if finding.severity is not Severity.INFORMATION:
            key = finding.severity.rank, finding.about_engine, finding.todo
            grouped.setdefault(key, []).append((number, finding))
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
