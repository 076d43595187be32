"""Work that makes many small objects, all of them in use, goes on without looking for garbage among them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collected_later() -> Iterator[None]:
    """Leave the garbage collector off meanwhile; what was off before stays off."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
