"""Many returned files, one report; a bad file never stops the rest."""

from __future__ import annotations

import gc
import logging
from collections import OrderedDict, deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from validators.ceilings import RunLimits
from validators.checked import Checked
from validators.checks.registry import find_in_pile
from validators.container import Limits
from validators.contents import Outcome, contents_of
from validators.findings import BatchReport, Finding, Place, Severity, SheetReport, Status
from validators.issued import Issued
from validators.kept import Kept, settings_digest
from validators.pile import Aside, Piece, walk
from validators.pile_copies import find_copies, same_bytes
from validators.recompute import Recomputer
from validators.returned_pile import ReturnedPile
from validators.sheet import opened, recompute, report_on
from validators.shelf import Shelf

LOG = logging.getLogger("boreledger")
CHUNK = 16
"""So many files are held in memory, and recomputed together, at a time (in each worker process)."""

CHUNK_BYTES = 64_000_000
KEPT_COMPILED = 16

Told = Callable[[int, str], None]
Step = Callable[[], None]
Done = Callable[[Piece, Outcome], None]
_compiled: OrderedDict[str, Recomputer] = OrderedDict()


def check_files(
    paths: Iterable[Path], told: Told | None = None, *, jobs: int = 0, limits: RunLimits | None = None,
    issued: Issued | None = None, keep: Path | None = None,
) -> BatchReport:
    """Check every workbook in files, folders, archives and saved mails.

    Parameters
    ----------
    paths : paths
        Files and folders.
    told : function, optional
        Called, for progress, with the number of files that are done and the place of the one that is
        taken up.
    jobs : int
        Most worker processes; the report is the same whatever their number. With 0 all is done in this
        process, which has no ceiling on memory and time: only for files of one's own.
    limits : RunLimits, optional
        How much a file may hold, and what a worker may use up.
    issued : Issued, optional
        What was issued, to compare with.
    keep : Path, optional
        A folder in which what comes of each file is kept; what is kept there already is not checked again.

    Raises
    ------
    DefinitionError
        There is no room for what is found, or the folder cannot be used.
    """
    limits = limits or RunLimits()
    run = _Run(limits, issued, keep)
    check = partial(_here, limits=limits, issued=issued)
    if jobs:
        from validators.workers import check_in_workers

        check = partial(check_in_workers, jobs=jobs, limits=limits, issued=issued)
    for found in check(chunks(run.pieces(walk(paths, limits.pile), told)), done=run.keep):
        run.put(found)
    return run.report()


class _Run:
    """One run over a pile: what was passed over, what came of each file, and which are under way."""

    def __init__(self, limits: RunLimits, issued: Issued | None, keep: Path | None) -> None:
        self._asides: list[Aside] = []
        self._shelf = Shelf()
        self._waiting: deque[int] = deque()
        self._kept = None if keep is None else Kept(keep, settings_digest(limits, issued))
        self._records: dict[str, tuple[str, Path]] = {}

    def pieces(self, found: Iterable[Piece | Aside], told: Told | None) -> Iterator[Piece]:
        """Yield the files that are still to be checked."""
        for item in found:
            if told is not None:
                told(len(self._shelf) - len(self._waiting), item.place)
            if isinstance(item, Aside):
                self._asides.append(item)
                continue
            number = self._shelf.room_for(item.place, item.dates)
            known = None if self._kept is None else self._kept.find(item)
            if known is None:
                self._waiting.append(number)
                yield item
            else:
                self._shelf.put(number, *known)

    def keep(self, piece: Piece, outcome: Outcome) -> None:
        """Keep what came of a file as soon as it is there, in whatever order that is."""
        if self._kept is not None and (record := self._kept.keep(piece, outcome)) is not None:
            self._records[piece.place] = record

    def put(self, outcomes: Iterable[Outcome]) -> None:
        """Put away what came of the files that wait longest."""
        for outcome in outcomes:
            number = self._waiting.popleft()
            self._shelf.put(number, outcome, *self._records.pop(self._shelf.place(number), ()))

    def report(self) -> BatchReport:
        """Return all that is said about the run."""
        sheets = self._shelf.sheets()
        briefs = self._shelf.briefs()
        pile = ReturnedPile(
            asides=tuple(self._asides),
            identical=tuple(same_bytes([(brief.file, brief.digest) for brief in briefs])),
            copies=tuple(find_copies(self._shelf.copies())),
        )
        return BatchReport(sheets=sheets, findings=tuple(find_in_pile(pile)), copies=pile.copies)


def _here(
    portions: Iterable[list[Piece]], limits: RunLimits, issued: Issued | None, done: Done
) -> Iterator[list[Outcome]]:
    for pieces in portions:
        outcomes = check_together(pieces, limits.pile.workbook, issued)
        for piece, outcome in zip(pieces, outcomes, strict=True):
            done(piece, outcome)
        yield outcomes


def chunks(pieces: Iterable[Piece]) -> Iterator[list[Piece]]:
    """Yield the pile in portions, each small enough to be held in memory."""
    chunk: list[Piece] = []
    size = 0
    for piece in pieces:
        if chunk and (len(chunk) >= CHUNK or size + piece.size > CHUNK_BYTES):
            yield chunk
            chunk, size = [], 0
        chunk.append(piece)
        size += piece.size
    if chunk:
        yield chunk


def check_together(
    pieces: Sequence[Piece], limits: Limits | None = None, issued: Issued | None = None, *,
    step: Step = lambda: None,
) -> list[Outcome]:
    """Check some files; those that compute the same are recomputed together. Faults become findings.

    Parameters
    ----------
    pieces : sequence of Piece
        The files.
    limits : Limits, optional
        How much a workbook may hold.
    issued : Issued, optional
        What was issued, to compare with.
    step : function
        Called before each step: a file read, a group recomputed, a file judged.

    Raises
    ------
    MemoryError
        There is not enough memory, which is no fault of this program.
    """
    with collected_once():
        return _check_together(pieces, limits, issued, step)


@contextmanager
def collected_once() -> Iterator[None]:
    """Look for garbage once, at the end: a portion is a million small objects, all of them in use."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
            gc.collect()


def _check_together(
    pieces: Sequence[Piece], limits: Limits | None, issued: Issued | None, step: Step
) -> list[Outcome]:
    sheets: list[Checked | None] = []
    outcomes: dict[int, Outcome] = {}
    groups: dict[str, list[int]] = {}
    sheet: Checked | None
    for number, piece in enumerate(pieces):
        step()
        try:
            sheet = opened(Path(piece.place), piece.data, piece.fault, limits, issued)
            sheets.append(sheet)
            if sheet.unreadable is None:
                _ = sheet.values
                groups.setdefault(sheet.recompute.formula_set, []).append(number)
        except MemoryError:
            raise
        except Exception as error:  # a fault of ours
            sheets[number:] = [None]
            outcomes[number] = failed(piece.place, error)
    for members in groups.values():
        step()
        _recompute([sheet for number in members if (sheet := sheets[number]) is not None])
    for number, piece in enumerate(pieces):
        sheet = sheets[number]
        if sheet is not None:
            step()
            try:
                told = None if sheet.unreadable else contents_of(sheet)
                if told is not None and not sheet.reference:
                    recompute(sheet.recompute, [sheet])  # alone, so that its own fault is told
                outcomes[number] = Outcome(report_on(sheet), told)
            except MemoryError:
                raise
            except Exception as error:  # a fault of ours
                outcomes[number] = failed(piece.place, error)
        sheets[number] = None
    return [outcomes[number] for number in range(len(pieces))]


def _recompute(sheets: Sequence[Checked]) -> None:
    """Recompute sheets together; if that fails they are left for each to be tried alone."""
    try:
        recompute(compiled(sheets[0].recompute), sheets)
    except MemoryError:
        raise
    except Exception:
        LOG.debug("%s sheets could not be recomputed together", len(sheets), exc_info=True)
        for sheet in sheets:
            sheet.recalculated, sheet.reference = {}, {}


def compiled(recomputer: Recomputer) -> Recomputer:
    """Return a recomputer with the same formulas that is compiled already, if there is one."""
    kept = _compiled.setdefault(recomputer.formula_set, recomputer)
    _compiled.move_to_end(recomputer.formula_set)
    while len(_compiled) > KEPT_COMPILED:
        _compiled.popitem(last=False)
    return kept


def failed(place: str, error: BaseException) -> Outcome:
    """Return what is said of a file on which this program failed."""
    LOG.error("%s", place, exc_info=error)
    finding = Finding(
        code="TOOL01",
        name="tool-failed",
        severity=Severity.BLOCKS,
        place=Place(file=Path(place).name),
        found=f"this program failed on it ({type(error).__name__})",
        expected="a report",
        todo="Report it with the file and run again with --verbose to see what happened.",
    )
    report = SheetReport(file=str(Path(place)), status=Status.UNREADABLE, findings=(finding,))
    return Outcome(report, lasts=False)
