"""What one file may cost: memory and seconds of the worker process that reads it.

Every limit of a run can be set in one TOML file (``check --limits FILE``); `validators/LIMITS.md` lists them.
"""

from __future__ import annotations

import os
import tomllib
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from sheetgen.errors import DefinitionError, nearest
from validators.container import Limits
from validators.pile import PileLimits

MEGABYTE = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Ceilings:
    """What a worker process may use up; one that uses more is ended.

    Attributes
    ----------
    memory_bytes : int
        Address space of a worker, program and libraries included. Held where the system has such a limit.
    seconds : float
        Longest time of the processor for one step: one file read, one file judged, or one portion
        recomputed. By the clock it may be ten times as long where others keep the machine busy.
    """

    memory_bytes: int = 3_000_000_000
    seconds: float = 60.0


@dataclass(frozen=True, slots=True)
class RunLimits:
    """Every limit of a run: of a pile, of a workbook, of a worker."""

    pile: PileLimits = field(default_factory=PileLimits)
    ceilings: Ceilings = field(default_factory=Ceilings)


def cores() -> int:
    """Return how many processes can run at a time."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1


def read_limits(path: Path) -> RunLimits:
    """Return the limits that a file sets; what it leaves out stays as it is.

    Parameters
    ----------
    path : Path
        TOML with the tables ``[workbook]``, ``[pile]`` and ``[worker]``.

    Raises
    ------
    DefinitionError
        It cannot be read, or names a limit that is none, or gives no positive number.
    """
    try:
        told = tomllib.loads(path.read_text("utf-8"))
    except (OSError, ValueError) as error:
        raise DefinitionError(str(path), f"limits cannot be read from it ({error})") from None
    known: dict[str, Any] = {"workbook": Limits, "pile": PileLimits, "worker": Ceilings}
    for table in told:
        if table not in known or not isinstance(told[table], dict):
            raise DefinitionError(str(path), f"'{table}' is no table of limits{nearest(table, known)}")
    made = {table: _numbers(path, table, kind, told.get(table, {})) for table, kind in known.items()}
    workbook = Limits(**made["workbook"])
    return RunLimits(PileLimits(**made["pile"], workbook=workbook), Ceilings(**made["worker"]))


def limit_names(kind: type) -> dict[str, type]:
    """Return the limits of a class that are numbers: name to int or float."""
    kinds = {"int": int, "float": float}
    return {f.name: kinds[str(f.type)] for f in fields(kind) if str(f.type) in kinds}


def _numbers(path: Path, table: str, kind: type, told: dict[str, Any]) -> dict[str, Any]:
    names = limit_names(kind)
    for name, value in told.items():
        place = f"{path}, [{table}]"
        if name not in names:
            raise DefinitionError(place, f"there is no limit '{name}'{nearest(name, names)}")
        whole = isinstance(value, int) and not isinstance(value, bool)
        if not (whole or (names[name] is float and isinstance(value, float))) or not 0 < value < float("inf"):
            kind_of = "number" if names[name] is float else "whole number"
            raise DefinitionError(place, f"'{name}' is a positive {kind_of}")
    return told
