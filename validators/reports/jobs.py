"""How each job of a pile stands, whoever measured it: by the newest copy of its files."""

from __future__ import annotations

from dataclasses import dataclass

from validators.findings import BatchReport, Brief, Severity
from validators.reports.strips import words_in


@dataclass(frozen=True)
class JobState:
    """One job: its files, those that count for it, and what they ask for."""

    name: str
    engine: str
    people: tuple[str, ...]
    files: int
    counted: tuple[tuple[int, Brief], ...]  # with the file's number within the report, from 1
    blocking: int
    looking: int
    words: tuple[tuple[str, int], ...]

    @property
    def settled(self) -> bool:
        """Whether there is nothing to act on."""
        return not self.blocking and not self.looking


def jobs_of(report: BatchReport) -> tuple[JobState, ...]:
    """Return how each job that has a number stands, the one with the most that blocks first.

    Older copies and files that are there a second time do not count; spelling with other capitals or spaces
    is the same job.
    """
    older = {file for copies in report.copies for file in copies.files[1:]}
    older |= {sheet.digest for sheet in report.briefs if sheet.digest and sheet.file in older}
    grouped: dict[str, list[tuple[int, Brief]]] = {}
    for number, sheet in enumerate(report.briefs, 1):
        if sheet.job.strip():
            grouped.setdefault(" ".join(sheet.job.split()).casefold(), []).append((number, sheet))
    states = [_state(members, older) for members in grouped.values()]
    return tuple(sorted(states, key=lambda job: (-job.blocking, -job.looking, job.name)))


def _state(members: list[tuple[int, Brief]], older: set[str]) -> JobState:
    seen: set[str] = set()
    counted = []
    for number, sheet in members:
        if not {sheet.file, sheet.digest} & older and (not sheet.digest or sheet.digest not in seen):
            counted.append((number, sheet))
            seen.add(sheet.digest)
    counted = counted or members  # an older copy of a job that was given another number since
    people = dict.fromkeys(who for _, sheet in members if (who := " ".join(sheet.measured_by.split())))
    return JobState(
        name=members[0][1].job.strip(),
        engine=next((sheet.engine for _, sheet in counted if sheet.engine), ""),
        people=tuple(people), files=len(members), counted=tuple(counted),
        blocking=sum(sheet.count(Severity.BLOCKS) for _, sheet in counted),
        looking=sum(sheet.count(Severity.LOOK) for _, sheet in counted),
        words=words_in(sheet for _, sheet in counted),
    )
