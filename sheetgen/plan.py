"""The plan: every cell of one workbook, with its name, address and formula.  Pure; opens no file."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import Any

from sheetgen.build import BuildDefinition
from sheetgen.catalogue import Catalogue
from sheetgen.errors import DefinitionError
from sheetgen.kept_plan import DefinedNames, LaidOut, from_data, keeping_of, to_data
from sheetgen.layout import Index, Layout, indices
from sheetgen.naming import ALL, PLACEHOLDER, Names, element_name
from sheetgen.optional_sheets import catalogue_without
from sheetgen.planned import PlannedCell, PlannedSheet, column_letters
from sheetgen.sheet_grid import SheetGrid, all_cells
from sheetgen.sheet_words import printed_unit
from sheetgen.template import Shapes, Template, read_shapes, read_templates

__all__ = [
    "BIRTH_SHEET", "Plan", "PlannedCell", "PlannedSheet", "column_letters", "formula_cells", "plan_workbook",
    "printed_unit",
]

BIRTH_SHEET = "Birth record"
ITEM, BLANKS = "@item", "@blanks"


@dataclass(frozen=True)
class Plan:
    """Every cell of one workbook.  `names` maps a defined name to sheet, first and last cell."""

    build: BuildDefinition
    version: int
    catalogue: Catalogue
    sheets: tuple[PlannedSheet, ...]
    cells: tuple[PlannedCell, ...]
    names: DefinedNames
    stage_inputs: Mapping[str, tuple[str, ...]]
    shapes: Shapes = field(repr=False)
    bare: Plan | None = field(default=None, repr=False, compare=False)
    """The same plan with nothing given, shared by all builds of one layout and family; None in that one."""

    @cached_property
    def kept(self) -> dict[str, Any]:
        """What others work out once for all builds of one layout and family: no value of a build."""
        return {} if self.bare is None else self.bare.kept

    @cached_property
    def by_name(self) -> Mapping[str, PlannedCell]:
        """The named cells."""
        return {cell.name: cell for cell in self.cells if cell.name}

    @cached_property
    def by_place(self) -> Mapping[tuple[str, str], PlannedCell]:
        """The cells by sheet and address."""
        return {(cell.sheet, cell.address): cell for cell in self.cells}

    @cached_property
    def by_key(self) -> Mapping[str, tuple[PlannedCell, ...]]:
        """The cells of each quantity, in catalogue order of their indices."""
        by_name = self.by_name
        return {key: tuple(by_name[name] for name in names) for key, names in self._names_by_key.items()}

    @cached_property
    def _names_by_key(self) -> Mapping[str, tuple[str, ...]]:
        if self.bare is not None:
            return self.bare._names_by_key
        return {
            key: tuple(
                element_name(key, index)
                for index in indices(self.catalogue.entries[key], self.build.layout, self.catalogue)
            )
            for key in dict.fromkeys(cell.key for cell in self.cells if cell.name)
        }

    @cached_property
    def inputs(self) -> Mapping[tuple[str, Index], int]:
        """Where among the cells each entry stands, by quantity and index."""
        return {(cell.key, cell.index): number for number, cell in enumerate(self.cells) if cell.is_input}

    @cached_property
    def digest(self) -> str:
        """A digest over every cell and name: two plans with one digest are the same workbook."""
        fixed, entries = self._digested
        whole = fixed.copy()
        whole.update("\n".join(_line(self.cells[number]) for number in entries).encode())
        return whole.hexdigest()

    @cached_property
    def _digested(self) -> tuple[hashlib._Hash, tuple[int, ...]]:
        """The digest so far, over what is the same whatever is given; and which cells are entries."""
        if self.bare is not None:
            return self.bare._digested
        lines = [_line(cell) for cell in self.cells if not cell.is_input]
        names = [f"{name} {at}" for name, at in self.names.items()]
        told = "\n".join([f"{self.version} {self.build.family}", *sorted(lines), *sorted(names), ""])
        inputs = [number for number, cell in enumerate(self.cells) if cell.is_input]
        inputs.sort(key=lambda number: (self.cells[number].sheet, self.cells[number].address))
        return hashlib.sha256(told.encode()), tuple(inputs)

    def unit(self, key: str) -> str:
        """Return the unit a quantity is shown in, as printed on the sheet."""
        measure = self.catalogue.measure_of(key)
        return printed_unit(measure.unit(self.build.family)) if measure else ""


def _line(cell: PlannedCell) -> str:
    return f"{cell.sheet}!{cell.address} {cell.role} {cell.name} {cell.formula} {cell.value!r}"


def plan_workbook(build: BuildDefinition, version: int = 1) -> Plan:
    """Plan every cell of the workbook of one build.

    Raises
    ------
    DefinitionError
        A template speaks of what does not exist, leaves an axis open, or uses a range that is not
        one rectangle.
    """
    bare = _bare_plan(build.layout, build.family, build.left_out, version)
    cells = list(bare.cells)
    for at, value in build.entries.items():
        if value is not None and at in bare.inputs:
            number = bare.inputs[at]
            cells[number] = replace(cells[number], value=value)
    return replace(bare, build=build, cells=tuple(cells), bare=bare)


@lru_cache(maxsize=16)
def _bare_plan(layout: Layout, family: str, left_out: tuple[str, ...], version: int) -> Plan:
    """Plan a workbook in which nothing is given: what is given only fills input cells."""
    build = BuildDefinition(layout, family, {}, left_out)
    catalogue, shapes = catalogue_without(build.left_out), read_shapes()
    templates = [template for template in read_templates(version) if template.stem not in left_out]
    keeping = keeping_of(layout, family, left_out, version)
    found = from_data(keeping.load(), templates)
    if found is None:
        found = _laid_out(templates, Names(build, catalogue), shapes)
        keeping.save(to_data(found))
    return Plan(build, version, catalogue, *found, shapes)


def _laid_out(templates: Iterable[Template], names: Names, shapes: Shapes) -> LaidOut:
    """Lay out the sheets, and put names into their formulas."""
    catalogue = names.catalogue
    grids = [SheetGrid(template, names, shapes) for template in templates]
    sheets = tuple(grid.planned() for grid in grids)
    cells = all_cells(grids)
    placed = _placed(cells, catalogue)
    stage_inputs = _stage_inputs(cells, sheets, catalogue)
    defined: dict[str, tuple[str, tuple[int, int], tuple[int, int]]] = {
        name: (cell.sheet, (cell.row, cell.column), (cell.row, cell.column)) for name, cell in placed.items()
    }
    for grid in grids:
        defined.update(grid.ranges)
    resolved = tuple(
        _resolve(cell, names, defined, placed, stage_inputs) if cell.formula else cell for cell in cells
    )
    return LaidOut(sheets, resolved, defined, stage_inputs)


def _placed(cells: Iterable[PlannedCell], catalogue: Catalogue) -> dict[str, PlannedCell]:
    placed: dict[str, PlannedCell] = {}
    taken: dict[tuple[str, str], PlannedCell] = {}
    for cell in cells:
        where = (cell.sheet, cell.address)
        if where in taken:
            raise DefinitionError(f"{cell.sheet}!{cell.address}", "two cells are planned at one place")
        taken[where] = cell
        if cell.name:
            if cell.name in placed:
                raise DefinitionError(f"{cell.sheet}!{cell.address}", f"{cell.name} is placed twice")
            placed[cell.name] = cell
    used = {cell.key for cell in placed.values()}
    for key in catalogue.entries:
        if key not in used:
            raise DefinitionError("sheets", f"no sheet shows {key}")
    return placed


def _stage_inputs(
    cells: Iterable[PlannedCell], sheets: Iterable[PlannedSheet], catalogue: Catalogue
) -> dict[str, tuple[str, ...]]:
    """Return the quantities that must be filled in, sheet by sheet."""
    keys: dict[str, dict[str, None]] = {}
    for cell in cells:
        if cell.is_input and not catalogue.entries[cell.key].optional:
            keys.setdefault(cell.sheet, {})[cell.key] = None
    return {s.template.stem: tuple(keys.get(s.template.title, ())) for s in sheets if s.template.counted}


def _resolve(
    cell: PlannedCell, names: Names, defined: dict[str, tuple[str, tuple[int, int], tuple[int, int]]],
    placed: Mapping[str, PlannedCell], stage_inputs: Mapping[str, tuple[str, ...]],
) -> PlannedCell:
    """Put names into a formula and note the ranges it uses."""
    entry = names.catalogue.entries.get(cell.key)
    place = f"{cell.sheet}!{cell.address} {cell.name or cell.key}"
    if cell.name and entry:
        loop = dict(zip(entry.over, cell.index, strict=True))
    else:
        loop = {pair[0]: pair[1] for pair in cell.index} if cell.key else {}  # an echo carries its loop

    bound = names.related(loop)
    known: dict[str, str] = {}

    def name_of(key: str, spec: str | None) -> str:
        key, index = names.target_at(key, spec, bound, place)
        name = element_name(key, index)
        if ALL in index:
            if name not in defined:
                defined[name] = _rectangle(key, index, names, placed, place)
        elif name not in placed:
            raise DefinitionError(place, f"{name} is on no sheet")
        return name

    def put(match: Any) -> str:
        if match[0] not in known:
            known[match[0]] = text_of(match)
        return known[match[0]]

    def text_of(match: Any) -> str:
        key, spec = match.group(1), match.group(2)
        if key == ITEM:
            return name_of(f"{loop['item']}_verdict", ALL)
        if key == BLANKS:
            blanks = [f"COUNTBLANK({name_of(key, ALL)})" for key in stage_inputs[loop["stage"]]]
            return "+".join(blanks) or "0"
        return name_of(key, spec)

    formula = PLACEHOLDER.sub(put, cell.formula)
    return replace(cell, formula=formula)


def _rectangle(
    key: str, index: Index, names: Names, placed: Mapping[str, PlannedCell], place: str
) -> tuple[str, tuple[int, int], tuple[int, int]]:
    entry = names.catalogue.entries[key]
    fixed = [(at, want) for at, want in enumerate(index) if want != ALL]
    members: list[PlannedCell] = []
    for candidate in indices(entry, names.build.layout, names.catalogue):
        if all(candidate[at] == want for at, want in fixed):
            name = element_name(key, candidate)
            if name not in placed:
                raise DefinitionError(place, f"{name} is on no sheet")
            members.append(placed[name])
    rows = {cell.row for cell in members}
    columns = {cell.column for cell in members}
    first, last = (min(rows), min(columns)), (max(rows), max(columns))
    if len({cell.sheet for cell in members}) != 1 or len(members) != (last[0] - first[0] + 1) * (
        last[1] - first[1] + 1
    ):
        raise DefinitionError(place, f"{element_name(key, index)} is not one rectangle of cells")
    return members[0].sheet, first, last


def formula_cells(plan: Plan) -> Iterator[PlannedCell]:
    """Return the cells that hold a formula."""
    return (cell for cell in plan.cells if cell.formula)
