"""One portion of a pile on a machine of a cluster: checked in a worker process of its own, with its ceilings.

The worker is started as a program, and not as a copy of a process of the cluster, which has threads and a
memory of its own. It is kept for the next portion, and ends when none comes.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from threading import Lock

from validators.ceilings import RunLimits
from validators.contents import Outcome
from validators.issued import Issued
from validators.kept import edition_digest
from validators.pile import Piece
from validators.workers import STEP, Pool, work

IDLE, SURELY_THERE = 120.0, 60.0
"""Seconds without work after which a worker ends itself, and before which it is still there for certain."""

PATIENCE = 0.2
FOLDER = Path(__file__).resolve().parent.parent


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a machine of the cluster checks nothing: one sentence."""

    why: str


@dataclass(slots=True)
class _Waiting:
    pool: Pool
    settings: str
    since: float


_waiting: list[_Waiting] = []
_lock = Lock()


def check_portion(
    edition: str, pieces: list[Piece], limits: RunLimits, issued: Issued | None
) -> list[tuple[int, Outcome]] | Refused:
    """Check a portion on this machine.

    Parameters
    ----------
    edition : str
        Digest of the program that asks, as `edition_digest` gives it.
    pieces : list of Piece
        The files.
    limits : RunLimits
        What a workbook may hold, and what a worker may use up.
    issued : Issued or None
        What was issued, to compare with.

    Returns
    -------
    list of tuple, or Refused
        The number of each file, and what came of it.
    """
    if os.name != "posix":
        return Refused("a machine of the cluster cannot hold workers to ceilings; it checks nothing")
    if edition != edition_digest():
        return Refused(
            "a machine of the cluster has another edition of this program, of Python or of a library; "
            "install the same on all of them"
        )
    outcomes: list[tuple[int, Outcome]] = []
    with _pool(limits, issued) as pool:
        pool.done = lambda piece, outcome: outcomes.append((piece.number, outcome))
        pool.run([pieces])
    return outcomes


def wait_a_little() -> list[tuple[int, Outcome]]:
    """Give the machine that asks time to put away what it was told."""
    time.sleep(PATIENCE)
    return []


@contextmanager
def _pool(limits: RunLimits, issued: Issued | None) -> Iterator[Pool]:
    """Lend a pool of one worker, which waits for the next portion afterwards; other settings end it."""
    settings = hashlib.sha256(pickle.dumps((limits, issued))).hexdigest()
    with _lock:
        fit = [w for w in _waiting if w.settings == settings and time.monotonic() - w.since < SURELY_THERE]
        taken = fit[-1] if fit else None
        for other in _waiting:
            if other not in fit:
                other.pool.end()
        _waiting[:] = fit[:-1]
    pool = taken.pool if taken else Pool(1, limits, issued, lambda piece, outcome: None, _started)
    try:
        yield pool
    except BaseException:
        pool.end()
        raise
    with _lock:
        _waiting.append(_Waiting(pool, settings, time.monotonic()))


def _started(
    pipe: Connection, limits: RunLimits, issued: Issued | None, ends: set[Connection]
) -> subprocess.Popen[bytes]:
    """Start a worker as a program; what it needs comes through its standard input."""
    call = [sys.executable, "-m", __name__, str(pipe.fileno())]
    folders = os.pathsep.join(filter(None, (str(FOLDER), os.environ.get("PYTHONPATH", ""))))
    process = subprocess.Popen(  # noqa: S603  our own program
        call, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, pass_fds=[pipe.fileno()],
        env={**os.environ, "PYTHONPATH": folders},
    )
    assert process.stdin is not None
    with process.stdin as stream:
        pickle.dump((limits, issued), stream)
    return process


def _main() -> None:
    limits, issued = pickle.load(sys.stdin.buffer)  # noqa: S301  from the process that started this one
    pipe = Connection(int(sys.argv[1]))
    pipe.send((STEP, None))  # from here on the time of the first file counts
    work(pipe, limits, issued, set(), IDLE)


if __name__ == "__main__":
    _main()
