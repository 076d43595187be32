"""One known fault: what is done to a copy, and which finding has to say so, where."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tests.corpus.readings import Copy


@dataclass(frozen=True)
class Fault:
    """What one copy suffers.

    Attributes
    ----------
    codes : frozenset of str
        Codes of which one is right; empty where nothing may be said at all.
    places : frozenset of str
        Names of cells, quantities or sheets at which the finding may stand; empty: the whole file.
    typed : mapping
        Entries typed otherwise, before the workbook is recalculated.
    edit : function, optional
        What is done to the bytes of the filled workbook.
    size : str
        Which part of its kind the fault falls into, where a kind is told by size.
    decidable : bool
        Whether it can be told from natural spread at all.
    """

    codes: frozenset[str]
    places: frozenset[str] = frozenset()
    typed: Mapping[str, Any] = field(default_factory=dict)
    edit: Callable[[bytes], bytes] | None = None
    size: str = ""
    decidable: bool = True


Make = Callable[[Copy, random.Random], Fault | None]


@dataclass(frozen=True)
class Kind:
    """One kind of fault: how it is told, how it is made, and which features must be typed how."""

    title: str
    make: Make
    deviation: frozenset[str] | None = None


def fault(code: str, *places: str, **more: Any) -> Fault:
    """Return a fault that one or several codes (with blanks between) may tell at some places."""
    return Fault(frozenset(code.split()), frozenset(places), **more)
