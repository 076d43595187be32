"""One returned sheet on its way through the checks: what came back, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from sheetgen.plan import Plan, PlannedCell
from validators.canonical import UnreadableFormula, canonical
from validators.cell_values import ErrorValue
from validators.errors import UnreadableFile
from validators.findings import Place
from validators.readings import Located, Reading, locate, read_entries
from validators.recompute import Recomputer, Shown
from validators.returned import ReturnedWorkbook

Changed = str  # "changed", "value", "deleted"


@dataclass
class Checked:
    """What the checks look at.  `unreadable` is set, and nothing else, when the file could not be read."""

    path: Path
    unreadable: UnreadableFile | None = None
    workbook: ReturnedWorkbook | None = None
    recomputer: Recomputer | None = None
    recalculated: Mapping[str, Shown | ErrorValue] = field(default_factory=dict)
    reference: Mapping[str, Shown] = field(default_factory=dict)

    @property
    def plan(self) -> Plan:
        """The plan that the workbook was written from."""
        assert self.recomputer is not None  # noqa: S101  only asked after the birth record is read
        return self.recomputer.plan

    @property
    def returned(self) -> ReturnedWorkbook:
        """The workbook as it came back."""
        assert self.workbook is not None  # noqa: S101
        return self.workbook

    @cached_property
    def located(self) -> Mapping[str, Located]:
        """Where every named cell stands now."""
        return locate(self.plan, self.returned)

    @cached_property
    def entries(self) -> Mapping[str, Reading]:
        """Every entry."""
        return read_entries(self.plan, self.located)

    @cached_property
    def values(self) -> Mapping[str, float | str | None]:
        """What every entry can stand for."""
        return {name: reading.value for name, reading in self.entries.items()}

    def place(self, planned: PlannedCell) -> Place:
        """Return where a planned cell stands in the returned file."""
        sheet, address = planned.sheet, planned.address
        if planned.name:
            sheet, address = self.located[planned.name].sheet, self.located[planned.name].address
        return Place(file=self.path.name, sheet=sheet, cell=address, label=planned.label)

    def of_file(self, sheet: str = "", label: str = "") -> Place:
        """Return a place that is a whole file or sheet."""
        return Place(file=self.path.name, sheet=sheet, label=label)

    # ------------------------------------------------------------ formulas

    @cached_property
    def altered(self) -> Mapping[str, tuple[PlannedCell, Changed, str]]:
        """Formula cells that are not as written: name to cell, how, and what stands there."""
        found: dict[str, tuple[PlannedCell, Changed, str]] = {}
        for cell in self.plan.cells:
            if not cell.formula or not cell.name:
                continue
            located = self.located[cell.name]
            held = located.cell
            if held is None or self.returned.sheet(located.sheet) is None:
                continue  # the sheet or the name is gone: said there
            if held.formula is None:
                if held.kind == "blank":
                    found[cell.name] = (cell, "deleted", "nothing")
                else:
                    shown = held.raw if held.value is None else held.value
                    found[cell.name] = (cell, "value", f"the value {shown!r}")
            elif not same_formula(held.formula, cell.formula, located.sheet):
                found[cell.name] = (cell, "changed", f"={held.formula}")
        return found

    @cached_property
    def gone(self) -> frozenset[str]:
        """Named cells that cannot be found any more."""
        return frozenset(
            name
            for name, located in self.located.items()
            if located.cell is None or self.returned.sheet(located.sheet) is None
        )

    @cached_property
    def doubtful(self) -> frozenset[str]:
        """Results whose stored value cannot be compared: they rest on what was altered or misread."""
        assert self.recomputer is not None  # noqa: S101
        origin = set(self.altered) | set(self.gone)
        origin |= {name for name, reading in self.entries.items() if reading.fault in ("formula", "bool", "error")}
        return frozenset(origin | self.recomputer.dependence.all_after(origin))

    def holds_up(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return the final results that cannot be judged because of these cells, shortest list first."""
        assert self.recomputer is not None  # noqa: S101
        after = self.recomputer.dependence.all_after(names)
        keys = self.plan.catalogue.limited
        judged = [
            name
            for name in after
            if self.plan.by_name[name].key in keys and self.plan.by_name[name].formula
        ]
        return tuple(sorted(judged, key=_natural))


def _natural(name: str) -> tuple[object, ...]:
    return tuple(int(part) if part.isdigit() else 0 for part in name.split("_")[-1:]) + (name,)


def same_formula(found: str, planned: str, sheet: str) -> bool:
    """Return whether two formulas say the same, however a program has rewritten one of them."""
    if found == planned.removeprefix("="):
        return True
    try:
        return canonical(found, sheet) == canonical(planned, sheet)
    except UnreadableFormula:
        return False
