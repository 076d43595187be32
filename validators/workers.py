"""Checks the portions of a pile in worker processes; each has a ceiling on memory and time.

A portion whose worker dies, hangs or runs out of memory is tried again file by file, so that a bad file
costs only itself. Worker processes end with the run, however it ends.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import time
from collections import deque
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any, Protocol

from validators.batch import Done, check_together, failed, tidy_up
from validators.ceilings import MEGABYTE, Ceilings, RunLimits
from validators.container import Limits
from validators.contents import Outcome
from validators.errors import UnreadableFile
from validators.file_kinds import TAKE_OUT, unsafe
from validators.issued import Issued
from validators.pile import Piece

WAITING_EACH = 2
"""Portions under way for each worker: the next one is ready, and not more is held."""

STEP, DONE, NO_MEMORY = "step", "done", "no memory"
STARVED = 10.0
"""So many times its seconds a worker may take by the clock, where the processor is busy with others."""

GRACE = 30.0
"""Seconds after which a worker whose parent is gone ends itself."""

_METHOD = "fork" if "fork" in multiprocessing.get_all_start_methods() else "spawn"
_context: Any = multiprocessing.get_context(_METHOD)


class Process(Protocol):
    """A worker process, however it was started."""

    @property
    def pid(self) -> int | None:
        """Its number."""

    def kill(self) -> None:
        """End it at once."""

    def wait(self) -> object:
        """Wait until it has ended."""


Start = Callable[[Connection, RunLimits, Issued | None, set[Connection]], Process]


class WorkerDied(Exception):
    """A worker process ended by itself while it was checking a file."""


class _Worker:
    """One worker process, and the task that it has in hand."""

    def __init__(
        self, start: Start, limits: RunLimits, issued: Issued | None, ends: set[Connection]
    ) -> None:
        self.pipe, theirs = _context.Pipe()
        ends.add(self.pipe)
        self.process = start(theirs, limits, issued, ends)
        theirs.close()
        self.task: list[Piece] | None = None
        self.seconds = limits.ceilings.seconds
        self.until = self.latest = self.used = 0.0
        self._ends = ends

    def take(self, task: list[Piece]) -> None:
        """Hand over a task.

        Raises
        ------
        OSError
            The worker is gone.
        """
        self.task = task
        self.extend()
        self.pipe.send(task)

    def extend(self) -> None:
        """Give it its time for the next step."""
        now = time.monotonic()
        self.until, self.latest = now + self.seconds, now + self.seconds * STARVED
        self.used = processor_seconds(self.process.pid)

    def is_over(self) -> bool:
        """Return whether it has had its time; one that was kept waiting by others gets more."""
        now = time.monotonic()
        if now < self.until:
            return False
        used = processor_seconds(self.process.pid) - self.used  # not a number where it is not told
        left = self.seconds - used
        if left > 0 and now < self.latest:
            self.until = min(now + max(left, 1.0), self.latest)
            return False
        return True

    def end(self) -> None:
        """End the process at once."""
        self.process.kill()
        self.process.wait()
        self._ends.discard(self.pipe)
        self.pipe.close()


class _Forked:
    """A worker process that begins as a copy of this one, with all that is loaded and compiled."""

    def __init__(
        self, pipe: Connection, limits: RunLimits, issued: Issued | None, ends: set[Connection]
    ) -> None:
        arguments = (pipe, limits, issued, ends if _METHOD == "fork" else set())
        self._process: BaseProcess = _context.Process(target=work, args=arguments, daemon=True)
        self._process.start()

    @property
    def pid(self) -> int | None:
        """Its number."""
        return self._process.pid

    def kill(self) -> None:
        """End it at once."""
        self._process.kill()

    def wait(self) -> None:
        """Wait until it has ended."""
        self._process.join()


class Pool:
    """Workers that are started when there is work for them, and replaced when they end.

    Parameters
    ----------
    jobs : int
        Most workers.
    limits : RunLimits
        What a workbook may hold, and what a worker may use up.
    issued : Issued or None
        What was issued, to compare with.
    done : function
        Called with each file and what came of it.
    start : function
        What starts a process.
    """

    def __init__(
        self, jobs: int, limits: RunLimits, issued: Issued | None, done: Done, start: Start = _Forked
    ) -> None:
        self.jobs, self.limits, self.issued, self.done = jobs, limits, issued, done
        self._start = start
        self.workers: list[_Worker] = []
        self.tasks: deque[list[Piece]] = deque()
        self._ends: set[Connection] = set()

    def give_out(self) -> None:
        """Hand tasks to idle workers, and start workers while there is more to do."""
        while self.tasks:
            idle = next((worker for worker in self.workers if worker.task is None), None)
            if idle is None:
                if len(self.workers) >= self.jobs:
                    return
                idle = _Worker(self._start, self.limits, self.issued, self._ends)
                self.workers.append(idle)
            task = self.tasks.popleft()
            try:
                idle.take(task)
            except OSError:
                self._lost(idle, WorkerDied("a worker ended"))

    def wait(self) -> None:
        """Wait until a worker says something, or has had its time."""
        busy = self.busy
        most = max(0.0, min(worker.until for worker in busy) - time.monotonic())
        ready = wait([worker.pipe for worker in busy], timeout=most)
        for worker in busy:
            if worker.pipe in ready:
                self._hear(worker)
            elif worker.is_over():
                self._lost(worker, _too_slow(worker.seconds))

    def _hear(self, worker: _Worker) -> None:
        try:
            said, outcomes = worker.pipe.recv()
        except (EOFError, OSError):
            self._lost(worker, WorkerDied("a worker ended"))
            return
        if said == STEP:
            worker.extend()
        elif said == NO_MEMORY:
            self._lost(worker, _too_large(self.limits.ceilings))
        else:
            assert worker.task is not None
            self._put(worker.task, outcomes)
            worker.task = None

    def _lost(self, worker: _Worker, why: Exception) -> None:
        """End a worker; try its files one by one, or say of the only one why nothing came of it."""
        task = worker.task
        self.workers.remove(worker)
        worker.end()
        if task is None:
            return
        if len(task) > 1:
            self.tasks.extendleft([piece] for piece in reversed(task))
        elif isinstance(why, UnreadableFile):
            with_fault = [replace(piece, data=b"", fault=why) for piece in task]
            self._put(task, [replace(outcome, lasts=False) for outcome in check_together(with_fault)])
        else:
            self._put(task, [failed(task[0].place, why)])

    def _put(self, task: list[Piece], outcomes: Sequence[Outcome]) -> None:
        for piece, outcome in zip(task, outcomes, strict=True):
            self.done(piece, outcome)

    def run(self, portions: Iterable[list[Piece]]) -> None:
        """Check portions; not many more are taken up than there are workers."""
        coming = iter(portions)
        more = True
        while more or self.under_way:
            while more and self.under_way < self.jobs * WAITING_EACH:
                portion = next(coming, None)
                if portion is None:
                    more = False
                else:
                    self.tasks.append(portion)
                    self.give_out()
            self.give_out()
            if self.busy:
                self.wait()

    @property
    def busy(self) -> list[_Worker]:
        """The workers that have a task in hand."""
        return [worker for worker in self.workers if worker.task is not None]

    @property
    def under_way(self) -> int:
        """How many tasks wait or are in hand."""
        return len(self.tasks) + len(self.busy)

    def end(self) -> None:
        """End every worker."""
        for worker in self.workers:
            worker.end()
        self.workers.clear()


def check_in_workers(
    portions: Iterable[list[Piece]], jobs: int, limits: RunLimits, issued: Issued | None, done: Done
) -> None:
    """Check a pile in worker processes.

    Parameters
    ----------
    portions : iterable of lists of Piece
        The pile in portions.
    jobs : int
        Most worker processes; not more are started than there are portions.
    limits : RunLimits
        What a workbook may hold, and what a worker may use up.
    issued : Issued or None
        What was issued, to compare with.
    done : function
        Called with each file and what came of it as soon as that is there, in whatever order.
    """
    pool = Pool(jobs, limits, issued, done)
    try:
        pool.run(portions)
    finally:
        pool.end()


def processor_seconds(number: int | None) -> float:
    """Return how long a process has been at work; infinity where the system does not tell.

    Then only the clock counts.
    """
    try:
        fields = Path(f"/proc/{number}/stat").read_text("ascii", "replace").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    except (OSError, ValueError, IndexError, AttributeError):
        return float("inf")


def _too_slow(seconds: float) -> UnreadableFile:
    return unsafe(f"a file that takes longer than {seconds:g} seconds to read and check",
                  f"a file that is done within {seconds:g} seconds", TAKE_OUT)


def _too_large(ceilings: Ceilings) -> UnreadableFile:
    most = f"{ceilings.memory_bytes / MEGABYTE:.0f} MB"
    return unsafe(f"a file that takes more than {most} of memory to read and check",
                  f"a file that is done within {most}", TAKE_OUT)


# ---------------------------------------------------------------- in the worker


def work(
    pipe: Connection, limits: RunLimits, issued: Issued | None, others: set[Connection], idle: float = 0
) -> None:
    """Check what comes through the pipe until it is closed, or nothing comes for so many seconds."""
    for other in others:  # or they would stay open when the parent is gone
        other.close()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent is told, and ends its workers
    hold_memory(limits.ceilings.memory_bytes)
    workbook: Limits = limits.pile.workbook
    with suppress(EOFError, OSError):
        while True:
            _end_after(idle)

            def step() -> None:
                _end_after(limits.ceilings.seconds * STARVED + GRACE)
                pipe.send((STEP, None))

            try:
                pieces = pipe.recv()
                outcomes = check_together(pieces, workbook, issued, step=step)
            except MemoryError:
                pipe.send((NO_MEMORY, None))
                break
            _end_after(idle)
            pipe.send((DONE, outcomes))
            del pieces, outcomes
            tidy_up()  # nobody waits for it
            gc.freeze()  # what is compiled by now stays, and need not be looked at again
    os._exit(0)


def hold_memory(most: int) -> None:
    """Let this process have so many bytes of address space and leave no core file, where that can be set."""
    try:
        import resource
    except ImportError:
        return
    for kind, value in ((resource.RLIMIT_AS, most), (resource.RLIMIT_CORE, 0)):
        _, hard = resource.getrlimit(kind)
        allowed = value if hard == resource.RLIM_INFINITY else min(value, hard)
        with suppress(ValueError, OSError):
            resource.setrlimit(kind, (allowed, allowed))


def _end_after(seconds: float) -> None:
    """End this process by itself when it hangs and nobody is left to end it; 0 calls that off."""
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, seconds)
