"""Checks the portions of a pile in worker processes, in order; a worker that dies costs one file."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool

from validators.batch import check_together, failed
from validators.contents import Outcome
from validators.pile import Piece

WAITING_EACH = 2
"""Portions under way for each worker: the next one is ready, and not more is held."""


def check_in_workers(chunks: Iterable[list[Piece]], jobs: int) -> Iterator[list[Outcome]]:
    """Yield what came of each portion, in the order of the pile.

    Parameters
    ----------
    chunks : iterable of lists of Piece
        The pile in portions.
    jobs : int
        Worker processes.
    """
    waiting: deque[tuple[list[Piece], Future[list[Outcome]]]] = deque()
    pool = ProcessPoolExecutor(jobs)
    try:
        for chunk in chunks:
            try:
                waiting.append((chunk, pool.submit(check_together, chunk)))
            except BrokenProcessPool:
                pool.shutdown(wait=False)
                pool = ProcessPoolExecutor(jobs)
                waiting.append((chunk, pool.submit(check_together, chunk)))
            if len(waiting) >= jobs * WAITING_EACH:
                yield _result(*waiting.popleft())
        while waiting:
            yield _result(*waiting.popleft())
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _result(chunk: list[Piece], future: Future[list[Outcome]]) -> list[Outcome]:
    try:
        return future.result()
    except BrokenProcessPool:
        return [outcome for piece in chunk for outcome in _alone(piece)]


def _alone(piece: Piece) -> list[Outcome]:
    """Check one file in a process of its own, which it may bring down."""
    with ProcessPoolExecutor(1) as pool:
        try:
            return pool.submit(check_together, [piece]).result()
        except BrokenProcessPool as error:
            return [failed(piece.place, error)]
