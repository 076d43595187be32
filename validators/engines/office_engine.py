"""An office program without a window: it opens the file as issued, and is given what is typed."""

from __future__ import annotations

import contextlib
import json
import os
import secrets
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from sheetgen.plan import PlannedCell
from validators.cell_values import ErrorValue
from validators.engines.engine import Build, EngineError, Shown, Values, Write, place_of
from validators.recompute import Recomputer

SCRIPT = Path(__file__).with_name("office_script.py")
SYSTEM_PYTHON = Path("/usr/bin/python3")
START_SECONDS, STOP_SECONDS = 60.0, 5.0
PACKAGES = "install libreoffice-calc and python3-uno"


def program() -> str:
    """Return where the office program is.

    Raises
    ------
    EngineError
        It is not installed, or cannot be spoken to.
    """
    found = shutil.which("soffice")
    if found is None:
        raise EngineError(f"there is no office program 'soffice': {PACKAGES}")
    if not SYSTEM_PYTHON.exists() or _run([str(SYSTEM_PYTHON), "-I", "-c", "import uno"]).returncode:
        raise EngineError(f"{SYSTEM_PYTHON} has no module 'uno': {PACKAGES}")
    return found


class OfficeEngine:
    """One office program with one workbook open in it."""

    def __init__(self, recomputer: Recomputer, write: Write) -> None:
        cells = recomputer.plan.cells
        self.inputs = list(rectangles([cell for cell in cells if cell.is_input]))
        self.formulas = [cell for cell in cells if cell.formula]
        self.folder = Path(tempfile.mkdtemp(prefix="prove-"))
        self.pipe = f"prove-{os.getpid()}-{secrets.token_hex(4)}"
        workbook = self.folder / "workbook.xlsx"
        workbook.write_bytes(write(recomputer.plan))
        profile = (self.folder / "profile").as_uri()
        self.office = subprocess.Popen(  # noqa: S603  a program of this machine, on a file of our own
            [
                program(), "--headless", "--norestore", "--nologo", "--nodefault",
                f"-env:UserInstallation={profile}", f"--accept=pipe,name={self.pipe};urp;",
            ],
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        self.script: subprocess.Popen[str] | None = None
        try:
            self._wait()
            self.script = subprocess.Popen(  # noqa: S603  a script of our own
                self._command("compute", workbook.as_uri()),
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            )
        except BaseException:
            self.close()
            raise

    @staticmethod
    def version() -> str:
        """Return what computes, with its version."""
        told = _run([program(), "--version"])
        return " ".join(told.stdout.split()[:2])

    def values(self, batch: Sequence[Build]) -> Values:
        """Return every formula's value.

        Raises
        ------
        EngineError
            The program has gone.
        """
        found: Values = {place_of(c.sheet, c.address, c.name): [] for c in self.formulas}
        for build in batch:
            answer = self._ask(build)
            wrong = {title: set(_places(areas)) for title, areas in answer["errors"].items()}
            for cell in self.formulas:
                row, column = cell.row - 1, cell.column - 1
                value: Shown | ErrorValue = _at(answer["values"][cell.sheet], row, column)
                if (column, row) in wrong[cell.sheet]:
                    value = ErrorValue("#VALUE!")
                found[place_of(cell.sheet, cell.address, cell.name)].append(value)
        return found

    def _ask(self, build: Build) -> dict[str, Any]:
        assert self.script is not None
        assert self.script.stdin is not None
        assert self.script.stdout is not None
        typed = [
            [area[0][0].sheet, area[0][0].column - 1, area[0][0].row - 1,
             [[build.get(cell.name) for cell in line] for line in area]]
            for area in self.inputs
        ]
        try:
            self.script.stdin.write(json.dumps(typed) + "\n")
            self.script.stdin.flush()
            line = self.script.stdout.readline()
        except BrokenPipeError:
            line = ""
        if not line:
            told = self.script.stderr.read().strip().splitlines() if self.script.stderr else []
            raise EngineError(f"the office program has gone: {told[-1] if told else 'it says nothing'}")
        answer: dict[str, Any] = json.loads(line)
        return answer

    def _command(self, *what: str) -> list[str]:
        return [str(SYSTEM_PYTHON), "-I", str(SCRIPT), self.pipe, *what]

    def _wait(self) -> None:
        end = time.monotonic() + START_SECONDS
        while _run(self._command("answer")).returncode:
            if self.office.poll() is not None or time.monotonic() > end:
                raise EngineError(f"the office program does not answer within {START_SECONDS:g} s")
            time.sleep(0.2)

    def close(self) -> None:
        """End the script and the program, and throw the profile away."""
        if self.script is not None:
            with contextlib.suppress(BrokenPipeError):
                self.script.communicate(timeout=STOP_SECONDS)
        with contextlib.suppress(subprocess.TimeoutExpired):
            _run(self._command("leave"), STOP_SECONDS)
            self.office.wait(STOP_SECONDS)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.office.pid, signal.SIGKILL)
        self.office.wait(STOP_SECONDS)
        shutil.rmtree(self.folder, ignore_errors=True)


def _run(command: Sequence[str], seconds: float | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # noqa: S603  programs of this machine
        command, capture_output=True, text=True, check=False, timeout=seconds
    )


def rectangles(cells: Sequence[PlannedCell]) -> Iterator[list[list[PlannedCell]]]:
    """Yield the rectangles that cells fill, row by row: few calls of the program serve many entries."""
    waiting = {(cell.sheet, cell.row, cell.column): cell for cell in cells}
    while waiting:
        sheet, top, left = min(waiting)
        right, bottom = left, top
        while (sheet, top, right + 1) in waiting:
            right += 1
        across = range(left, right + 1)
        while all((sheet, bottom + 1, column) in waiting for column in across):
            bottom += 1
        yield [[waiting.pop((sheet, row, column)) for column in across] for row in range(top, bottom + 1)]


def _places(areas: Sequence[Sequence[int]]) -> Iterator[tuple[int, int]]:
    for left, top, right, bottom in areas:
        yield from ((column, row) for column in range(left, right + 1) for row in range(top, bottom + 1))


def _at(rows: Sequence[Sequence[Shown]], row: int, column: int) -> Shown:
    """Return what a cell shows; outside the used area there is nothing.

    Examples
    --------
    >>> _at([["a", 1.0]], 0, 1), _at([["a"]], 3, 0)
    (1.0, '')
    """
    return rows[row][column] if row < len(rows) and column < len(rows[row]) else ""
