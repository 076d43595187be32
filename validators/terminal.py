"""Data on standard output, talk on standard error; colour and movement only where a person looks on."""

from __future__ import annotations

import logging
import os
import re
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from validators.progress import Progress

PORTION = 16384
"""Characters written at once: an unbuffered stream says nothing of a text cut short, the next one fails."""
READER_GONE = 141
"""Exit status when the reader of standard output closed it, as a shell gives it for a broken pipe."""
LOG = logging.getLogger("boreledger")
NOISY = ("formulas", "schedula", "pint")
SECONDS_BEFORE, SECONDS_BETWEEN = 0.4, 1.0
"""How long a step may take before it is shown, and how often its seconds are counted."""

HEAD = re.compile(r"^( {4})([A-Z]+\d\d \S+) (\[[^\]]+\])", re.MULTILINE)
"""The first line of a finding: code and name, and what it means for the work."""
TITLE = re.compile(r"^( {2})(The sheet|The engine)$", re.MULTILINE)
BOLD, RED, YELLOW, PLAIN = "\x1b[1m", "\x1b[1;31m", "\x1b[33m", "\x1b[0m"
SHADES = {"[blocks assembly]": RED, "[needs a look]": YELLOW}


@dataclass(slots=True)
class Talk:
    """What was asked for, and what has become of standard output."""

    quiet: bool = False
    reader_gone: bool = False


TALK = Talk()


def begin() -> None:
    """Start afresh: talkative, and no log."""
    TALK.quiet = TALK.reader_gone = False
    logging.basicConfig(stream=sys.stderr, level=logging.CRITICAL, format="%(name)s: %(message)s", force=True)
    for stream in (sys.stdout, sys.stderr):
        with suppress(AttributeError):  # what a console cannot show is written as an escape
            stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    for name in NOISY:
        logging.getLogger(name).setLevel(logging.CRITICAL)


def be_quiet(asked: bool) -> None:
    """Leave out the talk if that is asked for; errors are said all the same."""
    TALK.quiet = TALK.quiet or asked


def be_verbose(asked: bool) -> None:
    """Show the log, if that is asked for."""
    if asked and logging.getLogger().level != logging.DEBUG:
        logging.getLogger().setLevel(logging.DEBUG)
        LOG.debug("Python %s, program in %s", sys.version.split()[0], os.path.dirname(__file__))


def say(text: str) -> None:
    """Print data as it stands.

    A reader who has seen enough is no reason to leave a file unwritten: what follows is dropped, and the
    command goes on.
    """
    if TALK.reader_gone:
        return
    try:
        for at in range(0, len(text), PORTION):
            sys.stdout.write(text[at : at + PORTION])
            sys.stdout.flush()
    except BrokenPipeError:
        TALK.reader_gone = True
        hush(sys.stdout)


def say_line(line: str) -> None:
    """Print one line of data; raise BrokenPipeError where nobody reads on."""
    try:
        sys.stdout.write(f"{line}\n")
        sys.stdout.flush()
    except BrokenPipeError:
        TALK.reader_gone = True
        hush(sys.stdout)
        raise


def tell(text: str) -> None:
    """Talk to the person at the terminal, unless quiet was asked for."""
    if not TALK.quiet:
        complain(text)


def complain(text: str) -> None:
    """Say what went wrong; this is said when quiet was asked for, too."""
    try:
        sys.stderr.write(f"{text}\n")
        sys.stderr.flush()
    except BrokenPipeError:
        hush(sys.stderr)


def hush(stream: TextIO) -> None:
    """Send what is still to be written nowhere, so that closing the stream is no fault either."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def has_colour(stream: TextIO) -> bool:
    """Return whether a stream is a terminal that wants colour (no-color.org, and terminals that are dumb)."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def coloured(text: str) -> str:
    """Return a report's text, with weight and colour on the heads of findings if standard output shows it.

    The words say everything that the colour says.
    """
    if not has_colour(sys.stdout):
        return text
    text = TITLE.sub(rf"\1{BOLD}\2{PLAIN}", text)
    return HEAD.sub(
        lambda head: f"{head[1]}{BOLD}{head[2]}{PLAIN} {SHADES.get(head[3], '')}{head[3]}{PLAIN}", text
    )


def pile_progress() -> Progress:
    """Return the line that shows how far a pile is checked."""
    from validators.progress import Progress

    return Progress(sys.stderr, shown=not TALK.quiet)


@contextmanager
def busy(doing: str, stream: TextIO | None = None) -> Iterator[None]:
    """Show on a terminal what is being done and for how many seconds; nothing elsewhere."""
    stream = stream or sys.stderr
    if TALK.quiet or not stream.isatty():
        yield
        return
    done, began = threading.Event(), time.monotonic()

    def count() -> None:
        wait = SECONDS_BEFORE
        while not done.wait(wait):
            wait = SECONDS_BETWEEN
            stream.write(f"\r{doing} ... {time.monotonic() - began:.0f} s ")
            stream.flush()

    counter = threading.Thread(target=count, daemon=True)
    counter.start()
    try:
        yield
    finally:
        done.set()
        counter.join()
        stream.write("\r\x1b[K" if os.environ.get("TERM") != "dumb" else "\n")
        stream.flush()
