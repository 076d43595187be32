"""Faults of the core that no build shows, tried on the outside checks.

Some functions are asked by the results at one place only, and by tables and libraries at others. A
fault there shows in no workbook, but a test of this folder sees it.
"""

import io
import sys
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager, redirect_stdout
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

import pytest

from validators.core_mutants import CoreFault, functions

HERE = Path(__file__).parent
WITHOUT = ("test_ledger.py", "test_guard_simulation.py")
"""Tests of the ledger and of the simulation, which hold no function against a figure."""


class Finder:
    """Runs every test again for each fault of a function that it calls, until one fails.

    Parameters
    ----------
    faults : sequence of CoreFault
        What is tried.
    """

    def __init__(self, faults: Sequence[CoreFault]) -> None:
        self.waiting = list(faults)
        self.seen: dict[tuple[str, str], str] = {}
        """Which test saw a fault, by function and change."""
        self.broken: list[str] = []

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leave out what runs the other tests again."""
        items[:] = [item for item in items if item.path.name not in WITHOUT]

    @pytest.hookimpl(tryfirst=True)
    def pytest_pyfunc_call(self, pyfuncitem: pytest.Function) -> bool:
        """Run the test as it is, then with one fault at a time."""
        names = pyfuncitem._fixtureinfo.argnames
        arguments = {name: pyfuncitem.funcargs[name] for name in names}

        def run() -> None:
            pyfuncitem.obj(**arguments)

        called = _called_by(run)
        for fault in [fault for fault in self.waiting if fault.where in called]:
            if _fails(run, fault):
                self.waiting.remove(fault)
                self.seen[fault.where, fault.change] = f"{pyfuncitem.path.name}::{pyfuncitem.originalname}"
        return True

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Keep what failed without a fault."""
        if report.failed:
            self.broken.append(f"{report.nodeid}: {report.longreprtext[-600:]}")


def seen_outside(
    faults: Sequence[CoreFault], files: Collection[str] = ("",)
) -> dict[tuple[str, str], str]:
    """Return the faults, by function and change, that a test of this folder sees, and which test.

    Parameters
    ----------
    faults : sequence of CoreFault
        What is tried.
    files : collection of str, optional
        Which files of this folder; every one if not given.
    """
    finder = Finder(faults)
    asked = [str(HERE / name) for name in files]
    with redirect_stdout(io.StringIO()):
        status = pytest.main([*asked, "-q", "-p", "no:cacheprovider", "-p", "no:xdist"], plugins=[finder])
    if finder.broken or status:
        raise RuntimeError("\n".join(finder.broken) or f"the outside checks did not run: {status}")
    return finder.seen


def _called_by(run: Callable[[], None]) -> frozenset[str]:
    """Run a test and return the functions of the core that it came through, as module.name."""
    known = {function.__code__: where for where, function in functions().items()}
    found: set[CodeType] = set()

    def note(frame: FrameType, event: str, _: Any) -> None:
        if event == "call":
            found.add(frame.f_code)

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        run()
    finally:
        sys.setprofile(before)
    return frozenset(known[code] for code in found if code in known)


@contextmanager
def _with_fault(fault: CoreFault) -> Iterator[None]:
    """Exchange the code of a function: a test that has imported it holds the function itself."""
    function = functions()[fault.where]
    sound = function.__code__
    function.__code__ = fault.function().__code__
    try:
        yield
    finally:
        function.__code__ = sound


def _fails(run: Callable[[], None], fault: CoreFault) -> bool:
    with _with_fault(fault):
        try:
            run()
        except Exception:
            return True  # whatever a fault brings about, it is seen
    return False
