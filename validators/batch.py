"""Many returned files, one report; a bad file never stops the rest."""

from __future__ import annotations

import gc
import logging
from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import repeat
from pathlib import Path
from threading import Lock

from sheetgen.garbage import collected_later
from validators.ceilings import RunLimits
from validators.checked import Checked
from validators.checks.registry import find_in_pile
from validators.container import Limits
from validators.contents import Outcome, contents_of
from validators.elsewhere import Elsewhere
from validators.findings import BatchReport, Finding, Place, Severity, SheetReport, Status
from validators.issued import Issued
from validators.kept import Kept, settings_digest
from validators.pile import Aside, Piece, name_in_report, walk
from validators.pile_copies import find_copies, same_bytes
from validators.recompute import Recomputer
from validators.returned_pile import ReturnedPile
from validators.sheet import opened, recompute, report_on
from validators.shelf import Shelf

LOG = logging.getLogger("boreledger")
CHUNK, FIRST_CHUNK = 32, 16
"""So many files are held in memory, and recomputed together, at a time (in each worker process).

To recompute a portion of V8s takes half a second whatever its size, and 45 ms for each file. The first ones
are smaller all the same, so that each of several workers soon has something to do.
"""

CHUNK_BYTES = 64_000_000
KEPT_COMPILED = 16

Told = Callable[[int, str], None]
Step = Callable[[], None]
Done = Callable[[Piece, Outcome], None]
_compiled: OrderedDict[str, Recomputer] = OrderedDict()


def check_files(
    paths: Iterable[Path | Elsewhere], told: Told | None = None, *, jobs: int = 0,
    limits: RunLimits | None = None,
    issued: Issued | None = None, keep: Path | None = None, cluster: str | None = None,
) -> BatchReport:
    """Check every workbook in files, folders, archives and saved mails.

    Parameters
    ----------
    paths : paths
        Files and folders, here or elsewhere.
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
    cluster : str, optional
        Address of the scheduler of a Dask cluster, whose machines check in place of workers of this one; at
        most `jobs` portions are under way, with 0 two for each of its threads.

    Raises
    ------
    DefinitionError
        There is no room for what is found, or the folder or the cluster cannot be used.
    """
    limits = limits or RunLimits()
    run = PileRun(limits, issued, keep)
    portions = chunks(run.pieces(walk(paths, limits.pile), told), jobs)
    if cluster is not None:
        from validators.cluster import check_in_cluster

        check_in_cluster(portions, cluster, jobs or None, limits, issued, run.put)
    elif jobs:
        from validators.workers import check_in_workers

        check_in_workers(portions, jobs, limits, issued, run.put)
    else:
        for pieces in portions:
            for piece, outcome in zip(
                pieces, check_together(pieces, limits.pile.workbook, issued), strict=True
            ):
                run.put(piece, outcome)
            tidy_up()
    return run.report()


class PileRun:
    """One run over a pile: what was passed over, and what came of each file."""

    def __init__(self, limits: RunLimits, issued: Issued | None = None, keep: Path | None = None) -> None:
        self._asides: list[Aside] = []
        self._shelf = Shelf()
        self._done = 0
        self._kept = None if keep is None else Kept(keep, settings_digest(limits, issued))
        self._lock = Lock()  # files may be found and finished in different threads

    def pieces(self, found: Iterable[Piece | Aside], told: Told | None = None) -> Iterator[Piece]:
        """Yield the files that are still to be checked."""
        for item in found:
            if told is not None:
                told(self._done, item.place)
            if isinstance(item, Aside):
                self._asides.append(item)
                continue
            known = None if self._kept is None else self._kept.find(item)
            with self._lock:
                number = self._shelf.room_for(item.place, item.dates)
                if known is not None:
                    self._shelf.put(number, *known)
                    self._done += 1
            if known is None:
                yield replace(item, number=number)

    def put(self, piece: Piece, outcome: Outcome) -> None:
        """Put away what came of a file, and keep it, as soon as it is there, in whatever order that is."""
        record = () if self._kept is None else self._kept.keep(piece, outcome)
        with self._lock:
            self._shelf.put(piece.number, outcome, *(record or ()))
            self._done += 1

    def report(self) -> BatchReport:
        """Return all that is said about the run."""
        briefs = self._shelf.briefs()
        pile = ReturnedPile(
            asides=tuple(self._asides),
            identical=tuple(same_bytes([(brief.file, brief.digest) for brief in briefs])),
            copies=tuple(find_copies(self._shelf.copies())),
        )
        findings = tuple(find_in_pile(pile))
        return BatchReport(sheets=self._shelf.sheets(), findings=findings, copies=pile.copies)


def chunks(pieces: Iterable[Piece], workers: int = 1) -> Iterator[list[Piece]]:
    """Yield the pile in portions, each small enough to be held in memory, for so many workers."""
    chunk: list[Piece] = []
    size, sizes = 0, _sizes(workers)
    most = next(sizes)
    for piece in pieces:
        if chunk and (len(chunk) >= most or size + piece.size > CHUNK_BYTES):
            yield chunk
            chunk, size, most = [], 0, next(sizes)
        chunk.append(piece)
        size += piece.size
    if chunk:
        yield chunk


def _sizes(workers: int) -> Iterator[int]:
    """Yield how many files a portion may have: one of each size for each worker, until they are whole."""
    size = FIRST_CHUNK if workers > 1 else CHUNK
    while size < CHUNK:
        yield from repeat(size, workers)
        size *= 2
    yield from repeat(CHUNK)


def check_together(
    pieces: Sequence[Piece], limits: Limits | None = None, issued: Issued | None = None, *,
    step: Step = lambda: None,
) -> list[Outcome]:
    """Check some files; those that compute the same are recomputed together. Faults become findings.

    No garbage is looked for meanwhile: `tidy_up` does that, when nobody waits for the answer any more.

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
    with collected_later():
        return _check_together(pieces, limits, issued, step)


def tidy_up() -> None:
    """Look for garbage once, after a portion: it is a million small objects, all of them in use until then.

    What was there before is not looked at again; Python does that by itself, when there is much more of it.
    """
    if gc.isenabled():
        gc.collect(1)


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
                report = replace(report_on(sheet), file=name_in_report(piece.place))
                outcomes[number] = Outcome(report, told)
                sheet.let_go()
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
    report = SheetReport(file=name_in_report(place), status=Status.UNREADABLE, findings=(finding,))
    return Outcome(report, lasts=False)
