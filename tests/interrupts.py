"""Programs started by a test that heed Ctrl-C, also where the tests themselves were told not to."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def heeded() -> Iterator[None]:
    """Heed interrupts meanwhile: what a shell runs in the background ignores them, and hands that on."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
