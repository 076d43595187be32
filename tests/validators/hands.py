"""Copies of one workbook as different hands leave it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sheetgen.fill import fill_workbook
from tests.returned.workbooks import engine, readings


def three() -> dict[str, Any]:
    """Return what the invented three-cylinder engine reads, cell name to value."""
    return dict(readings(engine("three").plan, "three"))


def write_copy(path: Path, entries: Mapping[str, Any]) -> Path:
    """Write a copy of the three-cylinder engine's workbook with these entries."""
    told = engine("three")
    path.write_bytes(fill_workbook(told.issued, told.plan, entries, recalculate=False))
    return path


def part(entries: Mapping[str, Any], *starts: str, without: bool = False) -> dict[str, Any]:
    """Return the entries whose names start so, or all others."""
    return {name: value for name, value in entries.items() if name.startswith(starts) is not without}
