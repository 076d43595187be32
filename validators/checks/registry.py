"""Finds the checks of this folder; there is no list to forget."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from functools import cache
from typing import Any

from validators import checks
from validators.checked import Checked
from validators.findings import Finding, Note
from validators.returned_pile import ReturnedPile

GATES = ("PILE", "FILE", "BIRTH", "CELL", "READ", "CALC", "LIMIT", "TOOL")


@cache
def all_checks() -> tuple[Any, ...]:
    """Return every check, in the order of the gates and codes."""
    modules = [
        importlib.import_module(f"{checks.__name__}.{found.name}")
        for found in pkgutil.iter_modules(checks.__path__)
        if found.name != "registry"
    ]
    return tuple(sorted(modules, key=lambda m: (GATES.index(m.CODE.rstrip("0123456789")), m.CODE)))


def find_all(sheet: Checked) -> Iterator[Finding]:
    """Run the checks; a file that could not be read is only looked at by the FILE and BIRTH checks."""
    for check in all_checks():
        gate = check.CODE.rstrip("0123456789")
        if gate in ("PILE", "TOOL") or (gate in ("FILE", "BIRTH")) != (sheet.unreadable is not None):
            continue
        for note in check.find(sheet):
            yield finding(check, note)


def find_in_pile(pile: ReturnedPile) -> Iterator[Finding]:
    """Run the checks that look at a whole pile."""
    for check in all_checks():
        if check.CODE.startswith("PILE"):
            for note in check.find_in_pile(pile):
                yield finding(check, note)


def finding(check: Any, note: Note) -> Finding:
    """Put a check's code, name and severity to what it has to say."""
    return Finding(
        code=check.CODE,
        name=check.NAME,
        severity=note.severity or check.SEVERITY,
        place=note.place,
        quantity=note.quantity,
        found=note.found,
        expected=note.expected,
        todo=note.todo,
        holds_up=note.holds_up,
    )
