"""Checks the portions of a pile in worker processes, in order; a worker that dies costs one file."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool

from validators.batch import check_together, failed
from validators.contents import Outcome
from validators.issued import Issued
from validators.pile import Piece

WAITING_EACH = 2
"""Portions under way for each worker: the next one is ready, and not more is held."""


def check_in_workers(
    chunks: Iterable[list[Piece]], jobs: int, issued: Issued | None = None
) -> Iterator[list[Outcome]]:
    """Yield what came of each portion, in the order of the pile.

    Parameters
    ----------
    chunks : iterable of lists of Piece
        The pile in portions.
    jobs : int
        Worker processes.
    issued : Issued, optional
        What was issued, to compare with.
    """
    waiting: deque[tuple[list[Piece], Future[list[Outcome]]]] = deque()
    pool = ProcessPoolExecutor(jobs)
    try:
        for chunk in chunks:
            try:
                waiting.append((chunk, pool.submit(check_together, chunk, issued)))
            except BrokenProcessPool:
                pool.shutdown(wait=False)
                pool = ProcessPoolExecutor(jobs)
                waiting.append((chunk, pool.submit(check_together, chunk, issued)))
            if len(waiting) >= jobs * WAITING_EACH:
                yield _result(*waiting.popleft(), issued)
        while waiting:
            yield _result(*waiting.popleft(), issued)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _result(
    chunk: list[Piece], future: Future[list[Outcome]], issued: Issued | None
) -> list[Outcome]:
    try:
        return future.result()
    except BrokenProcessPool:
        return [outcome for piece in chunk for outcome in _alone(piece, issued)]


def _alone(piece: Piece, issued: Issued | None) -> list[Outcome]:
    """Check one file in a process of its own, which it may bring down."""
    with ProcessPoolExecutor(1) as pool:
        try:
            return pool.submit(check_together, [piece], issued).result()
        except BrokenProcessPool as error:
            return [failed(piece.place, error)]
