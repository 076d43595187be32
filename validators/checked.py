"""One returned sheet on its way through the checks: what came back, and what follows from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.plan import Plan, PlannedCell
from validators.agree import agrees
from validators.canonical import UnreadableFormula, canonical
from validators.cell_values import ErrorValue
from validators.errors import UnreadableFile, quoted
from validators.findings import Note, Place, Verdict
from validators.judged import judged_cells, verdicts
from validators.last_digit import MovedCopies
from validators.missing import Missing
from validators.places import Located, Places, cell_key, same_words
from validators.put_right import PutRight
from validators.readings import Reading, read_entries
from validators.recompute import Recomputer, Shown
from validators.returned import ReturnedCell, ReturnedWorkbook
from validators.slips import Slip, find_slips
from validators.strange_names import StrangeName, find_strange_names

if TYPE_CHECKING:
    from validators.contents import Held
    from validators.expected import Nominal
    from validators.issued import Issued, IssuedFile

LONGEST_FORMULA = 120


@dataclass(frozen=True, slots=True)
class Altered:
    """A formula cell that is not as written: how ("changed", "value", "deleted"), and what stands there."""

    cell: PlannedCell
    how: str
    now: str


@dataclass
class Checked:
    """What the checks look at.  `unreadable` is set, and nothing else, when the file could not be read."""

    path: Path
    unreadable: UnreadableFile | None = None
    workbook: ReturnedWorkbook | None = None
    recomputer: Recomputer | None = None
    recalculated: Mapping[str, Shown | ErrorValue] = field(default_factory=dict)
    reference: Mapping[str, Shown] = field(default_factory=dict)
    issued: Issued | None = None
    """What it is compared with besides its own birth record, if anything is at hand."""

    def unreadable_as(self, code: str) -> Iterator[Note]:
        """Yield why the file could not be read, if that is what `code` speaks of."""
        fault = self.unreadable
        if fault is not None and fault.code == code:
            yield Note(place=self.of_file(), found=fault.found, expected=fault.expected, todo=fault.todo)

    @property
    def recompute(self) -> Recomputer:
        """What recomputes sheets of this plan; there once the birth record is read."""
        assert self.recomputer is not None
        return self.recomputer

    @property
    def plan(self) -> Plan:
        """The plan that the workbook was written from."""
        return self.recompute.plan

    @property
    def returned(self) -> ReturnedWorkbook:
        """The workbook as it came back."""
        assert self.workbook is not None
        return self.workbook

    def let_go(self) -> None:
        """Forget all that was found: some of it leads back here, and would wait for the garbage collector."""
        self.__dict__.clear()

    # ------------------------------------------------------------ places

    @cached_property
    def places(self) -> Places:
        """What finds cells in the returned file."""
        return Places(self.plan, self.returned)

    @cached_property
    def located(self) -> Mapping[str, Located]:
        """Where every planned cell stands now, by `cell_key`."""
        return self.places.located

    @cached_property
    def cells(self) -> Mapping[str, ReturnedCell | None]:
        """What stands in every planned cell now, None where it is gone, by `cell_key`."""
        return self.places.cells

    def held(self, cell: PlannedCell) -> ReturnedCell | None:
        """Return what stands in a planned cell now, None when the cell is gone."""
        return self.cells[cell.name or cell_key(cell)]

    def place(self, planned: PlannedCell) -> Place:
        """Return where a planned cell stands in the returned file."""
        located = self.located[cell_key(planned)]
        return Place(
            file=self.path.name, sheet=located.sheet, cell=located.address, label=self.label(planned)
        )

    def label(self, planned: PlannedCell) -> str:
        """Return what a person calls a planned cell; a figure shown again is told by its row."""
        if planned.label or not planned.formula:
            return planned.label
        row = self.row_labels.get((planned.sheet, planned.row), "")
        shown = self.plan.catalogue.entries[planned.key].label if planned.key else ""
        if not row or shown in ("", row):
            return row or shown
        return f"{shown}, {row[:1].lower()}{row[1:]}"

    def of_file(self, sheet: str = "", label: str = "") -> Place:
        """Return a place that is a whole file or sheet."""
        return Place(file=self.path.name, sheet=sheet, label=label)

    @cached_property
    def row_labels(self) -> Mapping[tuple[str, int], str]:
        """What is printed at the left of each row."""
        return {
            (cell.sheet, cell.row): str(cell.value)
            for cell in self.plan.cells
            if cell.role in ("row_label", "missing_label")
        }

    @cached_property
    def cells_of(self) -> Mapping[str, tuple[PlannedCell, ...]]:
        """The planned cells of each sheet that is still there, by planned title."""
        grouped: dict[str, list[PlannedCell]] = {
            sheet.template.title: []
            for sheet in self.plan.sheets
            if self.places.sheet(sheet.template.title) is not None
        }
        for cell in self.plan.cells:
            if cell.sheet in grouped:
                grouped[cell.sheet].append(cell)
        return {title: tuple(cells) for title, cells in grouped.items()}

    # ------------------------------------------------------------ entries

    @cached_property
    def entries(self) -> Mapping[str, Reading]:
        """Every entry."""
        return read_entries(self.plan, self.located, counts_from_1904=self.returned.counts_from_1904)

    def was_given(self, cell: PlannedCell) -> bool:
        """Return whether an entry was given when the workbook was written, or issued."""
        return self.plan.catalogue.entries[cell.key].kind == "given" and self.as_issued(cell) is not None

    @cached_property
    def issued_alike(self) -> tuple[IssuedFile, ...]:
        """The issued files that this one may have been."""
        if self.issued is None:
            return ()
        job = self.values.get("job_number")
        told = f"{job:.15g}" if isinstance(job, float) else job or ""
        return self.issued.alike(self.plan.digest, told)

    @cached_property
    def issued_file(self) -> IssuedFile | None:
        """The file that was issued, where that is plain."""
        return self.issued_alike[0] if len(self.issued_alike) == 1 else None

    def as_issued(self, cell: PlannedCell) -> Held:
        """Return what an entry held when the workbook was issued, or else when it was written."""
        file = self.issued_file
        held: Held = cell.value if file is None else file.entries.get(cell.name)
        return held

    @cached_property
    def values(self) -> Mapping[str, float | str | None]:
        """What every entry can stand for."""
        return {name: reading.value for name, reading in self.entries.items()}

    @cached_property
    def moved_copies(self) -> MovedCopies:
        """What tells a difference that the last digits of the entries decide."""
        return MovedCopies(self.recompute, self.values)

    @cached_property
    def nominals(self) -> dict[str, Nominal | None]:
        """What entries should be near, by cell name, as far as it was asked for."""
        return {}

    @cached_property
    def slips(self) -> Mapping[str, Slip]:
        """Numbers that are not what they say, by name."""
        return find_slips(self)

    @cached_property
    def put_right(self) -> PutRight:
        """The sheet with its suspected slips put right."""
        return PutRight(self)

    @cached_property
    def strange_names(self) -> Mapping[str, StrangeName]:
        """Materials and shell grades that are not in the list they should be chosen from, by cell name."""
        return find_strange_names(self)

    @cached_property
    def gone(self) -> frozenset[str]:
        """Named cells that cannot be found any more."""
        if self.places.nothing_moved:
            return frozenset()
        return frozenset(cell.name for cell in self.plan.cells if cell.name and self.held(cell) is None)

    @cached_property
    def astray(self) -> frozenset[str]:
        """Named cells that left the row they are printed in."""
        if self.places.nothing_moved:
            return frozenset()
        return frozenset(
            cell.name for cell in self.plan.cells if cell.name and self.located[cell.name].alone
        ) - self.gone

    @cached_property
    def pasted_over(self) -> Mapping[str, str]:
        """Named cells that a cell which went astray was pasted over: their names to the intruder's."""
        intruders = {
            (self.located[name].sheet.casefold(), self.located[name].address): name for name in self.astray
        }
        return {
            cell.name: intruders[place]
            for cell in self.plan.cells
            if cell.name in self.gone and (place := (cell.sheet.casefold(), cell.address)) in intruders
        }

    @cached_property
    def unusable(self) -> frozenset[str]:
        """Entries that must be put right before anything that rests on them can be judged."""
        entries = self.entries
        faulty = {name for name, reading in entries.items() if reading.fault not in ("", "undated")}
        named = {name for name, strange in self.strange_names.items() if not strange.overridden}
        return frozenset(faulty | named | ((self.gone | self.astray) & set(entries)) | set(self.slips))

    @cached_property
    def spoilt(self) -> frozenset[str]:
        """Those entries, and every result that rests on one of them."""
        return self.unusable | self.rests_on(self.unusable)

    def rests_on(self, names: Iterable[str]) -> set[str]:
        """Return every result that rests, directly or not, on any of these cells."""
        names = list(names)
        return self.recompute.dependence.all_after(names) if names else set()

    # ------------------------------------------------------------ what was written

    @cached_property
    def altered(self) -> Mapping[str, Altered]:
        """Formula cells that are not as written, by `cell_key`."""
        found: dict[str, Altered] = {}
        cells = self.cells
        for key, cell, formula in self.recompute.fixed.formulas:
            held = cells[key]
            if held is None or held.formula == formula:
                continue  # gone, which is said there; or as written
            if held.formula is None:
                how = "deleted" if held.kind == "blank" else "value"
                unit = self.plan.unit(cell.key) if cell.key else ""
                found[key] = Altered(cell, how, shown_value(held, unit))
            elif not same_formula(held.formula, cell.formula, self.located[key].sheet):
                found[key] = Altered(cell, "changed", quoted(f"={held.formula}", LONGEST_FORMULA))
        return found

    @cached_property
    def reprinted(self) -> Mapping[str, PlannedCell]:
        """Printed texts and constants that are not as written, by `cell_key`."""
        found: dict[str, PlannedCell] = {}
        cells = self.cells
        for key, cell in self.recompute.fixed.prints:
            held = cells[key]
            if held is None or (held.value == cell.value and held.formula is None and held.kind == "text"):
                continue
            if not _as_printed(held, cell):
                found[key] = cell
        return found

    @cached_property
    def doubtful(self) -> frozenset[str]:
        """Results whose stored value cannot be compared: they rest on what was altered or misread."""
        origin = set(self.altered) | set(self.reprinted) | self.gone | self.astray
        origin |= self.plan.by_name.keys() - self.returned.names.keys()
        origin |= self.unusable | {name for name, reading in self.entries.items() if reading.fault}
        origin |= {member for name in self.places.broken_ranges() for member in self.places.members(name)}
        origin |= {
            name for held in self.returned.sheets for name in held.names if name in self.plan.by_name
        }
        return frozenset(origin | self.rests_on(origin))

    # ------------------------------------------------------------ judgement

    @cached_property
    def verdicts(self) -> tuple[Verdict, ...]:
        """Every verdict about the engine that is built."""
        return tuple(verdicts(self))

    @cached_property
    def missing(self) -> Missing:
        """Why judged values are not there."""
        return Missing(self)

    @cached_property
    def judged_values(self) -> Mapping[str, str]:
        """The value that each verdict cell judges, in the order of the sheets."""
        at = dict(judged_cells(self))
        return {cell.name: at[cell.name] for cell in self.plan.cells if cell.name in at}

    def holds_up(self, names: Iterable[str]) -> tuple[str, ...]:
        """Return the judged values that cannot be judged because of these cells, in sheet order."""
        after = self.rests_on(names)
        return tuple(value for verdict, value in self.judged_values.items() if verdict in after)


def shown_value(held: ReturnedCell, unit: str = "") -> str:
    """Return the value of a cell as a person would say it."""
    value = held.raw if held.value is None else held.value
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return f"{value:.10g} {unit}".rstrip()
    return quoted(value) if held.kind != "error" else quoted(value)[1:-1]


def _as_printed(held: ReturnedCell, cell: PlannedCell) -> bool:
    if held.formula is not None:
        return False
    if isinstance(cell.value, str):
        return same_words("" if held.value is None else str(held.value), cell.value) and (
            held.kind in ("text", "blank")
        )
    return isinstance(held.value, float) and agrees(held.value, float(cell.value))


def same_formula(found: str, planned: str, sheet: str) -> bool:
    """Return whether two formulas say the same, however a program has rewritten one of them."""
    if found == planned.removeprefix("="):
        return True
    try:
        return canonical(found, sheet) == canonical(planned, sheet)
    except UnreadableFormula:
        return False
