"""Checks the portions of a pile in worker processes, in order; each has a ceiling on memory and time.

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
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

from validators.batch import Done, check_together, failed
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


class WorkerDied(Exception):
    """A worker process ended by itself while it was checking a file."""


@dataclass
class _Portion:
    """Files of the pile that go through together, and what came of them."""

    pieces: list[Piece]
    outcomes: list[Outcome | None] = field(init=False)

    def __post_init__(self) -> None:
        self.outcomes = [None] * len(self.pieces)

    @property
    def is_done(self) -> bool:
        return all(outcome is not None for outcome in self.outcomes)


@dataclass(frozen=True)
class _Task:
    """Files of one portion that one worker checks."""

    portion: _Portion
    numbers: tuple[int, ...]

    @property
    def pieces(self) -> list[Piece]:
        return [self.portion.pieces[number] for number in self.numbers]

    def put(self, outcomes: Sequence[Outcome]) -> None:
        for number, outcome in zip(self.numbers, outcomes, strict=True):
            self.portion.outcomes[number] = outcome
            self.portion.pieces[number] = replace(self.portion.pieces[number], data=b"")

    def parts(self) -> list[_Task]:
        return [_Task(self.portion, (number,)) for number in self.numbers]


class _Worker:
    """One worker process, and the task that it has in hand."""

    def __init__(self, limits: RunLimits, issued: Issued | None, ends: set[Connection]) -> None:
        self.pipe, theirs = _context.Pipe()
        ends.add(self.pipe)
        arguments = (theirs, limits, issued, ends if _METHOD == "fork" else set())
        self.process: BaseProcess = _context.Process(target=_work, args=arguments, daemon=True)
        self.process.start()
        theirs.close()
        self.task: _Task | None = None
        self.seconds = limits.ceilings.seconds
        self.until = self.latest = self.used = 0.0
        self._ends = ends

    def take(self, task: _Task) -> None:
        """Hand over a task.

        Raises
        ------
        OSError
            The worker is gone.
        """
        self.task = task
        self.extend()
        self.pipe.send(task.pieces)

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
        self.process.join()
        self._ends.discard(self.pipe)
        self.pipe.close()


class _Pool:
    """Workers that are started when there is work for them, and replaced when they end."""

    def __init__(self, jobs: int, limits: RunLimits, issued: Issued | None, done: Done) -> None:
        self.jobs, self.limits, self.issued, self.done = jobs, limits, issued, done
        self.workers: list[_Worker] = []
        self.tasks: deque[_Task] = deque()
        self._ends: set[Connection] = set()

    def give_out(self) -> None:
        """Hand tasks to idle workers, and start workers while there is more to do."""
        while self.tasks:
            idle = next((worker for worker in self.workers if worker.task is None), None)
            if idle is None:
                if len(self.workers) >= self.jobs:
                    return
                idle = _Worker(self.limits, self.issued, self._ends)
                self.workers.append(idle)
            task = self.tasks.popleft()
            try:
                idle.take(task)
            except OSError:
                self._lost(idle, WorkerDied("a worker ended"))

    def wait(self) -> None:
        """Wait until a worker says something, or has had its time."""
        busy = [worker for worker in self.workers if worker.task is not None]
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
            for piece, outcome in zip(worker.task.pieces, outcomes, strict=True):
                self.done(piece, outcome)
            worker.task.put(outcomes)
            worker.task = None

    def _lost(self, worker: _Worker, why: Exception) -> None:
        """End a worker; try its files one by one, or say of the only one why nothing came of it."""
        task = worker.task
        self.workers.remove(worker)
        worker.end()
        if task is None:
            return
        if len(task.numbers) > 1:
            self.tasks.extendleft(reversed(task.parts()))
        elif isinstance(why, UnreadableFile):
            with_fault = [replace(piece, data=b"", fault=why) for piece in task.pieces]
            task.put([replace(outcome, lasts=False) for outcome in check_together(with_fault)])
        else:
            task.put([failed(task.pieces[0].place, why)])

    def end(self) -> None:
        for worker in self.workers:
            worker.end()
        self.workers.clear()


def check_in_workers(
    chunks: Iterable[list[Piece]], jobs: int, limits: RunLimits | None = None, issued: Issued | None = None,
    done: Done = lambda piece, outcome: None,
) -> Iterator[list[Outcome]]:
    """Yield what came of each portion, in the order of the pile.

    Parameters
    ----------
    chunks : iterable of lists of Piece
        The pile in portions.
    jobs : int
        Most worker processes; not more are started than there are portions.
    limits : RunLimits, optional
        What a workbook may hold, and what a worker may use up.
    issued : Issued, optional
        What was issued, to compare with.
    done : function
        Called with each file and what came of it as soon as that is there, in whatever order.
    """
    pool = _Pool(jobs, limits or RunLimits(), issued, done)
    portions: deque[_Portion] = deque()
    coming = iter(chunks)
    more = True
    try:
        while more or portions:
            while more and len(portions) < jobs * WAITING_EACH:
                chunk = next(coming, None)
                if chunk is None:
                    more = False
                else:
                    portions.append(_Portion(chunk))
                    pool.tasks.append(_Task(portions[-1], tuple(range(len(chunk)))))
                    pool.give_out()
            while portions and portions[0].is_done:
                yield [outcome for outcome in portions.popleft().outcomes if outcome is not None]
            pool.give_out()
            if any(worker.task is not None for worker in pool.workers):
                pool.wait()
                pool.give_out()
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


def _work(
    pipe: Connection, limits: RunLimits, issued: Issued | None, others: set[Connection]
) -> None:
    """Check what comes through the pipe until it is closed."""
    for other in others:  # or they would stay open when the parent is gone
        other.close()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent is told, and ends its workers
    hold_memory(limits.ceilings.memory_bytes)
    workbook: Limits = limits.pile.workbook
    with suppress(EOFError, OSError):
        while True:
            pieces = pipe.recv()

            def step() -> None:
                _end_after(limits.ceilings.seconds * STARVED + GRACE)
                pipe.send((STEP, None))

            try:
                outcomes = check_together(pieces, workbook, issued, step=step)
            except MemoryError:
                pipe.send((NO_MEMORY, None))
                break
            _end_after(0)
            pipe.send((DONE, outcomes))
            del pieces, outcomes
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
