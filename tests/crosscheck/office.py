"""One office program without a window, and what a person does in it.

The office program is another statement of what a formula means.  It is started once for a run of
tests, with a profile of its own that is thrown away, and it is stopped whatever happens.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import os
import secrets
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal

SCRIPT = Path(__file__).with_name("type_in_office.py")
SYSTEM_PYTHON = Path("/usr/bin/python3")
PIPES = Path("/tmp/OSL_PIPE")  # where the program puts its end of a pipe, whatever TMPDIR says
START_SECONDS = 60.0
STOP_SECONDS = 5.0
JOB_SECONDS = 90.0
ENGLISH, GERMAN = "en-US", "de-DE"
POINT = {ENGLISH: ".", GERMAN: ","}
PACKAGES = "install libreoffice-calc and python3-uno"

Typed = float | int | str | datetime.date


class OfficeError(Exception):
    """The office program could not do what it was asked; one sentence says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One sitting at the office program.

    Attributes
    ----------
    workbook : Path
        What is opened.
    entries : mapping
        Sheet and address to the text that is typed there, in this order.
    how : str
        "keys": every sign is a key, so the entry rules act.  "line": the text is handed over whole
        and the entry rules do not act, as when a value is pasted; locks and locale act in both.
    window : bool
        Whether the workbook has a window: keys need one, and only there is a locked cell asked to
        take something.  Typing is twice as fast without.
    locale : str
        The locale of the person who types.
    recalculate : bool
        Whether every formula is computed anew before looking and saving; else what the program
        does by itself.
    saves : mapping
        Kind of file (xlsx, ods, pdf) to where it is saved.
    password : str
        What it is encrypted with when it is saved.
    """

    workbook: Path
    entries: Mapping[tuple[str, str], str] = field(default_factory=dict)
    how: Literal["keys", "line"] = "line"
    window: bool = False
    locale: str = ENGLISH
    recalculate: bool = False
    saves: Mapping[str, Path] = field(default_factory=dict)
    password: str = ""

    def as_data(self) -> dict[str, Any]:
        """Return the job as the script takes it."""
        return {
            "workbook": self.workbook.resolve().as_uri(),
            "entries": [[*place, text] for place, text in self.entries.items()],
            "how": self.how,
            "window": self.window or self.how == "keys",
            "locale": self.locale,
            "recalculate": self.recalculate,
            "saves": {kind: path.resolve().as_uri() for kind, path in self.saves.items()},
            "password": self.password,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What stood in a cell after something was typed there."""

    sheet: str
    address: str
    typed: str
    taken: bool
    value: float | str | None
    shown: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of a job.

    Attributes
    ----------
    filter : str
        The import filter that the program chose.
    questions : tuple of str
        What the program asked or warned of while it opened and saved.
    typed : tuple of Cell
        Every cell that was typed into, in order.
    values : dict
        Sheet to rows of what its cells show, from A1; an empty cell is "".
    errors : tuple of str
        Where a formula gives an error.
    seconds : dict
        What was done to how long it took.
    """

    filter: str
    questions: tuple[str, ...]
    typed: tuple[Cell, ...]
    values: dict[str, list[list[float | str]]]
    errors: tuple[str, ...]
    seconds: dict[str, float]

    @property
    def refused(self) -> list[tuple[str, str]]:
        """Sheet and address of the cells that did not take what was typed."""
        return [(cell.sheet, cell.address) for cell in self.typed if not cell.taken]

    def at(self, sheet: str, row: int, column: int) -> float | str:
        """Return what a cell shows; rows and columns count from 1."""
        rows = self.values[sheet]
        inside = row <= len(rows) and column <= len(rows[row - 1])
        return rows[row - 1][column - 1] if inside else ""


def as_typed(value: Typed, locale: str = ENGLISH) -> str:
    """Return the keys a person presses for a value.

    Examples
    --------
    >>> as_typed(86.012), as_typed(0.00002, GERMAN), as_typed(datetime.date(2031, 4, 17))
    ('86.012', '0,00002', '2031-04-17')
    """
    if isinstance(value, str):
        return value
    if isinstance(value, datetime.date):
        return value.isoformat()
    return format(Decimal(repr(value)), "f").replace(".", POINT[locale])


class Office:
    """The office program; it is started with the first job.

    Parameters
    ----------
    folder : Path
        Where its profile and its messages are kept; thrown away by the caller.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.pipe = ""
        self.process: subprocess.Popen[bytes] | None = None

    def run(self, *jobs: Job, seconds: float = JOB_SECONDS) -> list[Outcome]:
        """Do jobs one after the other.

        Parameters
        ----------
        *jobs : Job
            What to do.
        seconds : float
            How long one job may take; the program is stopped if all take longer together.

        Raises
        ------
        OfficeError
            The program is missing, does not start, does not answer in time or cannot do a job.
        """
        self.start()
        data = json.dumps([job.as_data() for job in jobs])
        raw = self.ask(data, seconds * len(jobs))
        return [outcome(job, told) for job, told in zip(jobs, raw, strict=True)]

    def ask(self, data: str, seconds: float) -> list[dict[str, Any]]:
        """Have jobs done and return what came of them."""
        try:
            done = self.speak("do", seconds, data)
        except subprocess.TimeoutExpired:
            self.stop()
            raise OfficeError(f"the office program did not answer within {seconds:g} s") from None
        if done.returncode:
            self.stop()
            last = (done.stderr.strip().splitlines() or [f"it ended with {done.returncode}"])[-1]
            raise OfficeError(f"the office program cannot be spoken to: {last}")
        return json.loads(done.stdout)

    def speak(
        self, what: str, seconds: float, data: str = ""
    ) -> subprocess.CompletedProcess[str]:
        """Run the script that speaks to the program."""
        command = [str(SYSTEM_PYTHON), "-I", str(SCRIPT), self.pipe, what]
        return subprocess.run(
            command, input=data, capture_output=True, text=True, timeout=seconds, check=False
        )

    def start(self) -> None:
        """Start the program unless it runs."""
        if self.process is not None and self.process.poll() is None:
            return
        program = shutil.which("soffice")
        if program is None:
            raise OfficeError(f"there is no office program 'soffice': {PACKAGES}")
        if not speaks_uno():
            raise OfficeError(f"{SYSTEM_PYTHON} has no module 'uno': {PACKAGES}")
        self.pipe = f"crosscheck-{os.getpid()}-{secrets.token_hex(4)}"
        profile = tempfile.mkdtemp(prefix="profile-", dir=self.folder)
        with (self.folder / "messages.txt").open("ab") as messages:
            self.process = subprocess.Popen(
                [
                    program,
                    "--headless",
                    "--norestore",
                    "--nologo",
                    "--nodefault",
                    f"-env:UserInstallation={Path(profile).as_uri()}",
                    f"--accept=pipe,name={self.pipe};urp;",
                ],
                stdin=subprocess.DEVNULL,
                stdout=messages,
                stderr=messages,
                start_new_session=True,
            )
        self.wait_until_it_answers()

    def wait_until_it_answers(self) -> None:
        """Return when the program takes jobs."""
        end = time.monotonic() + START_SECONDS
        while self.speak("answer", START_SECONDS).returncode:
            gone = self.process is None or self.process.poll() is not None
            if gone or time.monotonic() > end:
                self.stop()
                why = "ended at once" if gone else f"does not answer within {START_SECONDS:g} s"
                told = (self.folder / "messages.txt").read_text(errors="replace").strip()
                raise OfficeError(f"the office program {why}: {told or 'it says nothing'}")
            time.sleep(0.1)

    def stop(self) -> None:
        """Stop the program and all it has started: first ask it to go, then make it."""
        process, self.process = self.process, None
        if process is None:
            return
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.speak("leave", STOP_SECONDS)
            process.wait(STOP_SECONDS)
        end = time.monotonic() + STOP_SECONDS
        while process.returncode is not None and runs(process.pid) and time.monotonic() < end:
            time.sleep(0.02)  # it tidies up
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait(STOP_SECONDS)
        PIPES.with_name(f"{PIPES.name}_{os.getuid()}_{self.pipe}").unlink(missing_ok=True)


def runs(group: int) -> bool:
    """Return whether a process of a group is left; a dead one that nobody has buried is not."""
    for status in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            state, _, found = status.read_text().rpartition(")")[2].split()[:3]
            if int(found) == group and state != "Z":
                return True
    return False


def speaks_uno() -> bool:
    """Return whether the operating system's Python can speak to the program."""
    if not SYSTEM_PYTHON.exists():
        return False
    command = [str(SYSTEM_PYTHON), "-I", "-c", "import uno"]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def outcome(job: Job, told: dict[str, Any]) -> Outcome:
    """Return what came of a job.

    Raises
    ------
    OfficeError
        The job could not be done.
    """
    asked = tuple(told["questions"])
    if told["failed"]:
        after = f" after it asked: {'; '.join(asked)}" if asked else ""
        raise OfficeError(f"{job.workbook.name}: {told['failed']}{after}")
    return Outcome(
        filter=told["filter"],
        questions=asked,
        typed=tuple(Cell(**cell) for cell in told["typed"]),
        values=told["values"],
        errors=tuple(told["errors"]),
        seconds=told["seconds"],
    )


@contextlib.contextmanager
def office_program() -> Iterator[Office]:
    """Give an office program that is stopped, and its profile thrown away, at the end."""
    with tempfile.TemporaryDirectory(prefix="crosscheck-", ignore_cleanup_errors=True) as folder:
        office = Office(Path(folder))
        try:
            yield office
        finally:
            office.stop()


def total(outcomes: Iterable[Outcome], what: str) -> float:
    """Return how long one step of all jobs took together, in seconds."""
    return sum(one.seconds.get(what, 0.0) for one in outcomes)
