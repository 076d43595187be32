"""How far a long run has come, on one line of a terminal; nothing where nobody is looking."""

from __future__ import annotations

import shutil
import time
from types import TracebackType
from typing import TextIO

from validators.reports.as_text import printable

SECONDS_BETWEEN = 0.1


class Progress:
    """Shows a line while a pile is checked, and takes it away at the end.

    Parameters
    ----------
    stream : text stream
        Where it is shown, if that is a terminal.
    shown : bool
        False when nobody wants to see it.
    """

    def __init__(self, stream: TextIO, *, shown: bool = True) -> None:
        self._stream = stream
        self._shown = shown and stream.isatty()
        self._last = 0.0
        self._taken = 0
        self._width = 0

    def __enter__(self) -> Progress:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._show("")

    def __call__(self, done: int, place: str) -> None:
        """Tell how many files are done and which one is taken up."""
        self._taken += 1
        now = time.monotonic()
        if now - self._last >= SECONDS_BETWEEN:
            self._last = now
            self._show(f"{done} checked, {self._taken} found: {printable(place)}")

    def _show(self, line: str) -> None:
        if not self._shown:
            return
        most = max(shutil.get_terminal_size().columns - 1, 20)
        cut = line if len(line) <= most else f"{line[: most - 3]}..."
        self._stream.write(f"\r{cut:<{self._width}}" + ("" if line else "\r"))
        self._stream.flush()
        self._width = len(cut)
