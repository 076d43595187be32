"""What a check says: findings, and the reports that hold them."""

from __future__ import annotations

import enum
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property


class Severity(enum.StrEnum):
    """How bad a finding is, worst first."""

    BLOCKS = "blocks assembly"
    LOOK = "needs a look"
    INFORMATION = "for information"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a person finds it."""

    file: str
    sheet: str = ""
    cell: str = ""
    label: str = ""

    def __str__(self) -> str:
        where = f"{self.sheet}!{self.cell}" if self.sheet and self.cell else self.sheet
        return "  ".join(part for part in (where, self.label) if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that somebody should know or do."""

    code: str
    name: str
    severity: Severity
    place: Place
    quantity: str = ""
    found: str
    expected: str
    todo: str
    holds_up: tuple[str, ...] = ()

    @property
    def about_engine(self) -> bool:
        """True when it speaks about the engine, False when it speaks about the sheet."""
        return speaks_of_engine(self.code)

    @property
    def about_pile(self) -> bool:
        """True when it speaks about the pile that the file lies in."""
        return self.code.startswith("PILE")


def speaks_of_engine(code: str) -> bool:
    """Return whether findings of a code speak about the engine, and not about the sheet."""
    return code.startswith("LIMIT")


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """What one check has to say at one place; the check's code, name and severity are added to it."""

    place: Place
    found: str
    expected: str
    todo: str
    quantity: str = ""
    severity: Severity | None = None
    holds_up: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One judged result: its value as shown, its limits and the word."""

    name: str
    label: str
    place: Place
    value: float | None
    unit: str
    lower: float | None
    upper: float | None
    guard: float | None
    origin: str
    word: str
    key: str = ""  # the quantity, of which `name` is one place
    title: str = ""  # its label without a place
    decimals: int = 3  # how many are worth saying


class Status(enum.StrEnum):
    """What came of one file."""

    CHECKED = "checked"
    UNREADABLE = "could not be read"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetReport:
    """All that is said about one file."""

    file: str
    status: Status
    digest: str = ""
    job: str = ""
    layout: str = ""
    family: str = ""
    template_version: str = ""
    engine: str = ""
    builder: str = ""
    measured_by: str = ""
    measured_on: str = ""
    saved_by: str = ""
    issued: str = ""  # the file that was issued, with which this one was compared
    keyed_digest: str = ""  # how it stands, where a key was at hand
    findings: tuple[Finding, ...] = ()
    verdicts: tuple[Verdict, ...] = ()
    results: Mapping[str, float | str | None] = field(default_factory=dict)

    @property
    def exit_status(self) -> int:
        """0 nothing to act on, 1 something to act on, 2 could not be read."""
        return self.brief.exit_status

    @property
    def brief(self) -> Brief:
        """What an overview of many files needs of this one."""
        kinds = Counter((f.severity, f.code, f.name) for f in self.findings)
        return Brief(
            file=self.file, status=self.status, digest=self.digest, job=self.job, layout=self.layout,
            engine=self.engine, measured_by=self.measured_by,
            kinds=tuple((*kind, count) for kind, count in kinds.items()),
            words=tuple(Counter(verdict.word for verdict in self.verdicts).items()),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """What an overview of many files needs of one: who measured what, and how much was found.

    Attributes
    ----------
    kinds : tuple
        Severity, code and name of each kind of finding, and how often it stands there.
    words : tuple
        Each word of its verdicts, and how often it stands there.
    """

    file: str
    status: Status
    digest: str
    job: str
    layout: str
    engine: str
    measured_by: str
    kinds: tuple[tuple[Severity, str, str, int], ...]
    words: tuple[tuple[str, int], ...]

    def count(self, severity: Severity) -> int:
        """Return how many findings are that bad."""
        return sum(count for level, _, _, count in self.kinds if level is severity)

    @property
    def unread(self) -> bool:
        """Whether the file could not be read."""
        return self.status is Status.UNREADABLE

    @property
    def exit_status(self) -> int:
        """0 nothing to act on, 1 something to act on, 2 could not be read."""
        if self.status is Status.UNREADABLE:
            return 2
        return 1 if any(level is not Severity.INFORMATION for level, *_ in self.kinds) else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One entry in which copies of a job differ.

    Attributes
    ----------
    name : str
        Of the cell.
    place : Place
        Where it stands in the newest copy.
    issued : float, str, bool or None
        What it held when the workbook was written.
    values : tuple
        What each copy holds, in the order of `Copies.files`; None is blank.
    """

    name: str
    place: Place
    issued: float | str | bool | None
    values: tuple[float | str | bool | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Copies:
    """Files that are copies of one job, the newest first.

    Attributes
    ----------
    job : str
        The job number, "" when none has one.
    files : tuple of str
        Their places, the newest first.
    times : tuple of str
        When each was saved or sent, in ISO 8601; "" where no date tells them apart.
    told_by : str
        Which date says which is the newest.
    differences : sequence of Difference
        Every entry that is not the same in all of them, in the order of the sheets. They may be packed, and
        are gone through once.
    """

    job: str
    files: tuple[str, ...]
    times: tuple[str, ...]
    told_by: str
    differences: Sequence[Difference]


@dataclass(frozen=True, kw_only=True)
class BatchReport:
    """All that is said about a run: every workbook, and what concerns the pile as a whole.

    The reports on the files of a large pile lie on disk, and are read one by one as they are asked for.
    """

    sheets: Sequence[SheetReport]
    findings: tuple[Finding, ...] = ()
    copies: tuple[Copies, ...] = ()

    @cached_property
    def briefs(self) -> tuple[Brief, ...]:
        """What an overview needs of each file, in their order."""
        known: tuple[Brief, ...] | None = getattr(self.sheets, "briefs", None)
        return tuple(sheet.brief for sheet in self.sheets) if known is None else known

    def told(self, number: int) -> SheetReport:
        """Return the report on a file, of a large pile without its results, which are most of a record."""
        told: SheetReport = getattr(self.sheets, "told", self.sheets.__getitem__)(number)
        return told

    @property
    def exit_status(self) -> int:
        """The worst of its sheets, and 1 at least when something in the pile asks for a look."""
        worst = max((brief.exit_status for brief in self.briefs), default=2)
        pile = any(finding.severity is not Severity.INFORMATION for finding in self.findings)
        return max(worst, 1 if pile else 0)
