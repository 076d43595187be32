"""What a calculation engine is asked for, and the engine that reads the formulas of the plan."""

from __future__ import annotations

import importlib.metadata
from collections.abc import Callable, Mapping, Sequence
from typing import Protocol

from sheetgen.plan import Plan
from validators.cell_values import ErrorValue
from validators.recompute import Recomputer

Shown = float | str | None
Build = Mapping[str, Shown]
Values = dict[str, list[Shown | ErrorValue]]
Write = Callable[[Plan], bytes]
"""Makes the file of a plan."""


class EngineError(Exception):
    """An engine is not installed or cannot do its work; one sentence says why."""


class Engine(Protocol):
    """One program that computes the formulas of one workbook."""

    def values(self, batch: Sequence[Build]) -> Values:
        """Return every formula's value: by the cell's name, or ``sheet!address`` where it has none."""
        ...

    def close(self) -> None:
        """Let go of what the engine holds."""
        ...


def place_of(sheet: str, address: str, name: str) -> str:
    """Return what a formula cell is called here.

    Examples
    --------
    >>> place_of("Bores", "F14", ""), place_of("Bores", "F14", "bore_mean_1")
    ('Bores!F14', 'bore_mean_1')
    """
    return name or f"{sheet}!{address}"


def version_of(package: str) -> str:
    """Return the version of an installed package.

    Raises
    ------
    EngineError
        It is not installed.
    """
    try:
        return importlib.metadata.version(package)
    except importlib.metadata.PackageNotFoundError:
        raise EngineError(f"there is no package '{package}': pip install {package}") from None


class FormulasEngine:
    """The library that `check` uses: it is given the formulas of the plan, not the file."""

    def __init__(self, recomputer: Recomputer, write: Write) -> None:
        del write  # no file is made for it
        self.recomputer = recomputer

    @staticmethod
    def version() -> str:
        """Return what computes, with its version."""
        return f"formulas {version_of('formulas')}, schedula {version_of('schedula')}"

    def values(self, batch: Sequence[Build]) -> Values:
        """Return every formula's value."""
        return self.recomputer.recalculated(batch)

    def close(self) -> None:
        """Nothing is held."""
