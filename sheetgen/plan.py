"""The plan: every cell of one workbook, with its name, address and formula.  Pure; opens no file."""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from sheetgen.build import BuildDefinition, Index, indices, materials, stage_labels
from sheetgen.catalogue import TEMPLATES, Catalogue, Entry, load_catalogue, read_toml
from sheetgen.errors import DefinitionError
from sheetgen.naming import ALL, PLACEHOLDER, Names, element_label, element_name
from sheetgen.template import Block, Line, Shapes, Template, read_shapes, read_templates

BIRTH_SHEET = "Birth record"
LABEL_COLUMN, FIRST_COLUMN = 1, 2
LAST_TEXT_COLUMN = 9
ITEM, BLANKS = "@item", "@blanks"


def column_letters(number: int) -> str:
    """Return a column's letters.

    Examples
    --------
    >>> column_letters(1), column_letters(27)
    ('A', 'AA')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedCell:
    """One cell: where it stands, what it is, and what it holds when the workbook goes out."""

    sheet: str
    row: int
    column: int
    role: str
    name: str = ""
    key: str = ""
    index: Index = ()
    formula: str = ""
    value: Any = None
    label: str = ""
    columns: int = 1
    rows: int = 1

    @property
    def address(self) -> str:
        """The address as a person reads it, such as F14."""
        return f"{column_letters(self.column)}{self.row}"

    @property
    def is_input(self) -> bool:
        """True when a person types it."""
        return self.role == "input"


@dataclass(frozen=True, slots=True)
class PlannedSheet:
    """One sheet: its template, how many columns it uses, and where its pages may break."""

    template: Template
    columns: int
    rows: int
    breaks: tuple[int, ...]
    headers: Mapping[int, int]


@dataclass(frozen=True)
class Plan:
    """Every cell of one workbook.  `names` maps a defined name to sheet, first and last cell."""

    build: BuildDefinition
    version: int
    catalogue: Catalogue
    sheets: tuple[PlannedSheet, ...]
    cells: tuple[PlannedCell, ...]
    names: Mapping[str, tuple[str, tuple[int, int], tuple[int, int]]]
    stage_inputs: Mapping[str, tuple[str, ...]]
    shapes: Shapes = field(repr=False)

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
        grouped: dict[str, list[PlannedCell]] = {}
        for cell in self.cells:
            if cell.name:
                grouped.setdefault(cell.key, []).append(cell)
        return {
            key: tuple(
                self.by_name[element_name(key, index)]
                for index in indices(self.catalogue.entries[key], self.build.layout, self.catalogue)
            )
            for key in grouped
        }

    @cached_property
    def digest(self) -> str:
        """A digest over every cell and name: two plans with one digest are the same workbook."""
        lines = [f"{self.version} {self.build.family}"]
        lines += sorted(
            f"{cell.sheet}!{cell.address} {cell.role} {cell.name} {cell.formula} {cell.value!r}"
            for cell in self.cells
        )
        lines += sorted(f"{name} {where}" for name, where in self.names.items())
        return hashlib.sha256("\n".join(lines).encode()).hexdigest()

    def unit(self, key: str) -> str:
        """Return the unit a quantity is shown in, as printed on the sheet."""
        measure = self.catalogue.measure_of(key)
        return printed_unit(measure.unit(self.build.family)) if measure else ""


PRINTED = {
    "1": "", "degC": "°C", "delta_degC": "K", "um": "µm", "uin": "µin", "cm^3": "cm³", "in^3": "in³",
    "mm^2": "mm²", "in^2": "in²", "deg": "°", "m/s^2": "m/s²", "1e-6/K": "10⁻⁶/K", "percent": "%",
    "1/cm^3": "per cm³", "1/mm": "per mm", "1/in": "per in", "1/min": "per min",
}


def printed_unit(unit: str) -> str:
    """Return a unit as it is printed.

    Examples
    --------
    >>> printed_unit("cm^3")
    'cm³'
    """
    return PRINTED.get(unit, unit)


class _Sheet:
    """Lays out one sheet, top to bottom."""

    def __init__(self, template: Template, names: Names, shapes: Shapes) -> None:
        self.template, self.names, self.shapes = template, names, shapes
        self.build, self.catalogue = names.build, names.catalogue
        self.cells: list[PlannedCell] = []
        self.breaks: list[int] = []
        self.headers: dict[int, int] = {}
        self.row = 1
        self.width = FIRST_COLUMN + 3

    def put(self, column: int, role: str, **fields: Any) -> None:
        row = fields.pop("row", self.row)
        self.cells.append(
            PlannedCell(sheet=self.template.title, row=row, column=column, role=role, **fields)
        )
        self.width = max(self.width, column + fields.get("columns", 1) - 1)

    def quantity(
        self, column: int, key: str, index: Index, formula: str, loop: Mapping[str, str], *, workings: bool
    ) -> None:
        """Put one element of a quantity: an input, a formula or a number that follows from the layout."""
        entry = self.catalogue.entries[key]
        name = element_name(key, index)
        label = element_label(entry, index, self.catalogue)
        fields: dict[str, Any] = {"name": name, "key": key, "index": index, "label": label}
        if entry.is_input:
            self.put(column, "input", value=self.build.entries.get((key, index)), **fields)
        elif entry.kind in ("fixed", "constant"):
            self.put(column, "constant", value=self.fixed(key, index), **fields)
        else:
            role = "verdict" if entry.words else "working" if workings else "result"
            self.put(column, role, formula=formula or self.limit_formula(entry, index, loop), **fields)

    def limit_formula(self, entry: Entry, index: Index, loop: Mapping[str, str]) -> str:
        """Return the shared shape of a verdict, a limit's state or the limit used."""
        limited = self.catalogue.entries[entry.of]
        kind = entry.key.removeprefix(f"{entry.of}_")
        shape = {
            "verdict": self.shapes.verdict,
            "limit_state": self.shapes.state[limited.limits],
            "floor": self.shapes.floor if limited.limits != "upper" else "=0-{open_limit}",
            "ceiling": self.shapes.ceiling if limited.limits != "lower" else "={open_limit}",
        }[kind]
        text = shape.replace("{value}", f"{{{entry.of}}}").replace("{state}", f"{{{entry.of}_limit_state}}")
        for word in ("floor", "ceiling", "lower", "upper"):
            text = text.replace(f"{{{word}}}", f"{{{entry.of}_{word}}}")
        guard = limited.guard
        if guard not in self.catalogue.entries:
            key, _, label = self.element(guard)
            guard = f"{key}[{self.catalogue.entries[key].over[0]}={label}]"
        return text.replace("{guard}", f"{{{guard}}}")

    def element(self, name: str) -> tuple[str, str, str]:
        """Split an element name of a one-axis quantity: key, underscore, label."""
        for key, entry in self.catalogue.entries.items():
            if len(entry.over) == 1 and name.startswith(f"{key}_"):
                label = name.removeprefix(f"{key}_")
                if label in self.catalogue.axes[entry.over[0]].elements:
                    return key, "_", label
        raise DefinitionError("quantities.toml", f"guard '{name}' is neither a quantity nor an element")

    def fixed(self, key: str, index: Index) -> Any:
        """Return the number of a quantity that follows from the layout."""
        layout = self.build.layout
        if key == "item_required":
            limited = self.catalogue.entries.get(index[0])
            return 0 if limited is not None and limited.optional else 1
        number = int(index[0]) - 1 if index else 0
        return {
            "layout_cylinders": lambda: layout.cylinders,
            "layout_crankpins": lambda: layout.crankpins,
            "layout_mains": lambda: layout.mains,
            "layout_banks": lambda: layout.banks,
            "cylinder_number": lambda: number + 1,
            "cylinder_bank": lambda: layout.bank_of[number],
            "cylinder_crankpin": lambda: layout.crankpin_of[number],
            "crankpin_number": lambda: number + 1,
            "crankpin_rods": lambda: layout.crankpin_of.count(number + 1),
            "main_number": lambda: number + 1,
            "bank_number": lambda: number + 1,
            "bank_cylinders": lambda: layout.bank_of.count(number + 1),
            "shellpair_upper": lambda: 1 + number // layout.shell_grades,
            "shellpair_lower": lambda: 1 + number % layout.shell_grades,
        }[key]()

    def unit(self, key: str) -> str:
        measure = self.catalogue.measure_of(key)
        return printed_unit(measure.unit(self.build.family)) if measure else ""

    # ------------------------------------------------------------ blocks

    def lay_out(self) -> None:
        """Put the whole sheet."""
        self.put(LABEL_COLUMN, "title", value=self.template.title, columns=LAST_TEXT_COLUMN)
        self.row += 1
        self.put(LABEL_COLUMN, "purpose", value=self.template.purpose, columns=LAST_TEXT_COLUMN)
        self.row += 1
        self.put(LABEL_COLUMN, "purpose", value=f"Filled by: {self.template.filled_by}")
        if self.template.counted and self.template.stem != "job_card":
            self.put(FIRST_COLUMN, "missing_label", value="Entries still missing here:", columns=3)
            self.put(
                FIRST_COLUMN + 3, "missing",
                formula=self.shapes.echo.replace("{value}", f"{{stage_missing[stage={self.template.stem}]}}"),
            )
        self.row += 2
        for block in self.template.blocks:
            if block.page_break:
                self.breaks.append(self.row - 1)
            if block.title:
                self.put(LABEL_COLUMN, "block_title", value=block.title, columns=LAST_TEXT_COLUMN)
                self.row += 1
            if block.help:
                self.put(LABEL_COLUMN, "help", value=block.help, columns=LAST_TEXT_COLUMN)
                self.row += 1
            getattr(self, f"put_{block.kind}")(block)
            self.row += 1

    def put_text(self, block: Block) -> None:
        for paragraph in block.text:
            self.put(LABEL_COLUMN, "text", value=paragraph, columns=LAST_TEXT_COLUMN)
            self.row += 1

    def put_cautions(self, block: Block) -> None:
        for paragraph in block.text:
            self.put(LABEL_COLUMN, "caution", value=paragraph, columns=LAST_TEXT_COLUMN)
            self.row += 1

    def put_form(self, block: Block) -> None:
        for line in block.lines:
            key = line.quantity or line.echo
            entry = self.catalogue.entries[key]
            loop = dict(line.at)
            index = tuple(loop[axis] for axis in entry.over)
            self.put(LABEL_COLUMN, "row_label", value=line.label or element_label(entry, index, self.catalogue))
            self.one(FIRST_COLUMN, line, loop, block)
            self.put(FIRST_COLUMN + 1, "unit", value=self.unit(key))
            note = line.note or (entry.prompt if entry.is_input else "")
            if note:
                self.put(FIRST_COLUMN + 2, "note", value=note, columns=LAST_TEXT_COLUMN - FIRST_COLUMN - 1)
            self.row += 1

    def one(self, column: int, line: Line, loop: Mapping[str, str], block: Block) -> None:
        """Put one cell of a line at this turn of the loop."""
        if line.echo:
            entry = self.catalogue.entries[line.echo]
            role = "verdict_echo" if entry.words else "echo"
            formula = self.shapes.echo.replace("{value}", f"{{{line.echo}}}")
            self.put(column, role, formula=formula, key=line.echo, columns=1,
                     index=tuple(sorted(loop.items())))
            return
        entry = self.catalogue.entries[line.quantity]
        index = tuple(loop[axis] for axis in entry.over)
        self.quantity(column, line.quantity, index, line.formula, loop, workings=block.workings)

    def row_label(self, axis: str, label: str) -> str:
        """Return what stands at the left of a row."""
        if axis == "item":
            entry = self.catalogue.entries.get(label)
            return self.item_label(entry) if entry else "Ring end gap (cylinders)"
        if axis == "stage":
            return next(t.title for t in read_templates(1) if t.stem == label)
        told = self.catalogue.axes[axis].elements.get(label)
        if told:
            return told[:1].upper() + told[1:]
        text = f"{self.catalogue.axes[axis].label.capitalize()} {label}"
        if axis == "cylinder" and self.build.layout.banks > 1:
            text += f" (bank {self.build.layout.bank_of[int(label) - 1]})"
        return text

    @staticmethod
    def item_label(entry: Entry) -> str:
        """Return a limited quantity's label with what it belongs to."""
        place = entry.over[0] if entry.over else ""
        names = {"cylinder": "cylinders", "main": "mains", "crankpin": "crankpins", "bank": "banks",
                 "candidate": "combinations"}
        told = f" ({names[place]})" if place else ""
        subject = entry.key.split("_")[0]
        first = {"main": "Main bearing", "crankpin": "Crankpin", "rod": "Rod bearing", "bore": "Bore",
                 "roughness": "Bore surface"}.get(subject, "")
        return f"{first + ': ' if first else ''}{entry.label}{told}"

    def labels(self, axis: str) -> tuple[str, ...]:
        return stage_labels() if axis == "stage" else self.build.layout.labels(axis, self.catalogue)

    def turns(self, axes: Iterable[str]) -> list[dict[str, str]]:
        """Return the turns of a loop over some axes."""
        axes = list(axes)
        return [dict(zip(axes, turn, strict=True))
                for turn in itertools.product(*(self.labels(axis) for axis in axes))]

    def put_table(self, block: Block) -> None:
        rows, column = self.labels(block.rows), FIRST_COLUMN
        header, has_elements = self.row, any(line.across for line in block.lines)
        elements = header + 1 if has_elements else header
        unit_row, first = elements + 1, elements + 2
        axis_label = self.catalogue.axes[block.rows].label
        self.put(LABEL_COLUMN, "column_header", value=axis_label[:1].upper() + axis_label[1:],
                 rows=unit_row - header + 1)
        for line in block.lines:
            key = line.quantity or line.echo
            turns = self.turns(line.across)
            self.put(column, "column_header", value=line.label or self.catalogue.entries[key].label,
                     columns=len(turns), rows=1 if line.across else elements - header + 1)
            for turn in turns:
                if line.across:
                    told = [self.catalogue.axes[axis].elements.get(label) or label
                            for axis, label in turn.items()]
                    self.put(column, "element_header", value=", ".join(told), row=elements)
                self.put(column, "unit_header", value=self.unit(key), row=unit_row)
                for offset, label in enumerate(rows):
                    self.row = first + offset
                    self.one(column, line, {block.rows: label, **turn, **dict(line.at)}, block)
                self.row = header
                column += 1
        self.headers[header] = first - header
        for offset, label in enumerate(rows):
            self.put(LABEL_COLUMN, "row_label", value=self.row_label(block.rows, label), row=first + offset)
        self.row = first + len(rows)

    def put_cross(self, block: Block) -> None:
        labels = self.labels(block.rows)
        axis_label = self.catalogue.axes[block.rows].label
        self.put(LABEL_COLUMN, "column_header", value=axis_label[:1].upper() + axis_label[1:])
        for offset, label in enumerate(labels):
            told = self.catalogue.axes[block.rows].elements.get(label, label)
            self.put(FIRST_COLUMN + offset, "element_header", value=told)
        self.put(FIRST_COLUMN + len(labels), "element_header", value="unit")
        self.headers[self.row] = 1
        self.row += 1
        for line in block.lines:
            key = line.quantity or line.echo
            self.put(LABEL_COLUMN, "row_label", value=line.label or self.catalogue.entries[key].label)
            for offset, label in enumerate(labels):
                self.one(FIRST_COLUMN + offset, line, {block.rows: label, **dict(line.at)}, block)
            self.put(FIRST_COLUMN + len(labels), "unit", value=self.unit(key))
            self.row += 1

    def put_limits(self, block: Block) -> None:
        heads = ("Lower", "Upper", "Unit", "Limits come from", "", "Limits are", "Lower used", "Upper used")
        self.put(LABEL_COLUMN, "column_header", value="Limits")
        for offset, head in enumerate(heads):
            if head:
                self.put(FIRST_COLUMN + offset, "column_header", value=head, columns=2 if offset == 3 else 1)
        self.headers[self.row] = 1
        self.row += 1
        for key in block.limits:
            entry = self.catalogue.entries[key]
            self.put(LABEL_COLUMN, "row_label", value=entry.label)
            for offset, side in enumerate(("lower", "upper")):
                if entry.limits in ("both", side):
                    self.quantity(FIRST_COLUMN + offset, f"{key}_{side}", (), "", {}, workings=False)
                else:
                    self.put(FIRST_COLUMN + offset, "none", value="none")
            self.put(FIRST_COLUMN + 2, "unit", value=self.unit(key))
            self.quantity(FIRST_COLUMN + 3, f"{key}_origin", (), "", {}, workings=False)
            self.cells[-1] = _widened(self.cells[-1], 2)
            self.quantity(FIRST_COLUMN + 5, f"{key}_limit_state", (), "", {}, workings=False)
            self.quantity(FIRST_COLUMN + 6, f"{key}_floor", (), "", {}, workings=True)
            self.quantity(FIRST_COLUMN + 7, f"{key}_ceiling", (), "", {}, workings=True)
            self.row += 1

    def put_constants(self, block: Block) -> None:
        data = read_toml(TEMPLATES / "constants.toml")["block"]
        for group in data:
            self.put(LABEL_COLUMN, "column_header", value=group["title"])
            for offset, head in enumerate(("Value", "Unit", "Source")):
                self.put(FIRST_COLUMN + offset, "column_header", value=head,
                         columns=LAST_TEXT_COLUMN - FIRST_COLUMN - 1 if head == "Source" else 1)
            self.row += 1
            for constant in group["constants"]:
                key = constant["key"]
                entry = self.catalogue.entries[key]
                value = constant["value"]
                if isinstance(value, list):
                    value = value[0 if self.build.family == "millimetre" else 1]
                self.put(LABEL_COLUMN, "row_label", value=entry.label)
                self.put(FIRST_COLUMN, "constant", name=key, key=key, value=value, label=entry.label)
                self.put(FIRST_COLUMN + 1, "unit", value=self.unit(key))
                self.put(FIRST_COLUMN + 2, "note", value=constant["source"],
                         columns=LAST_TEXT_COLUMN - FIRST_COLUMN - 1)
                self.row += 1
            self.row += 1

    def put_materials(self, block: Block) -> None:
        for offset, head in enumerate(("Material", "", "", "Expansion, 10⁻⁶/K", "Modulus, GPa")):
            if head:
                self.put(LABEL_COLUMN + offset, "column_header", value=head)
        self.row += 1
        for number, material in enumerate(materials(), 1):
            index = (f"m{number}",)
            for column, key, value in (
                (LABEL_COLUMN, "material_name", material["name"]),
                (FIRST_COLUMN + 2, "material_expansion", material["expansion"]),
                (FIRST_COLUMN + 3, "material_modulus", material.get("modulus", 0)),
            ):
                entry = self.catalogue.entries[key]
                self.put(column, "constant", name=element_name(key, index), key=key, index=index,
                         value=value, label=element_label(entry, index, self.catalogue))
            self.row += 1


def _widened(cell: PlannedCell, columns: int) -> PlannedCell:
    fields = {name: getattr(cell, name) for name in PlannedCell.__dataclass_fields__}
    return PlannedCell(**{**fields, "columns": columns})


def plan_workbook(build: BuildDefinition, version: int = 1) -> Plan:
    """Plan every cell of the workbook of one build.

    Raises
    ------
    DefinitionError
        A template speaks of what does not exist, leaves an axis open, or uses a range that is not
        one rectangle.
    """
    catalogue, shapes = load_catalogue(), read_shapes()
    names = Names(build, catalogue)
    sheets, cells = [], []
    for template in read_templates(version):
        sheet = _Sheet(template, names, shapes)
        sheet.lay_out()
        sheets.append(PlannedSheet(template, sheet.width, sheet.row, tuple(sheet.breaks), sheet.headers))
        cells += sheet.cells
    placed = _placed(cells, catalogue)
    stage_inputs = _stage_inputs(cells, sheets, catalogue)
    defined: dict[str, tuple[str, tuple[int, int], tuple[int, int]]] = {
        name: (cell.sheet, (cell.row, cell.column), (cell.row, cell.column)) for name, cell in placed.items()
    }
    resolved = tuple(
        _resolve(cell, names, defined, placed, stage_inputs) if cell.formula else cell for cell in cells
    )
    return Plan(build, version, catalogue, tuple(sheets), resolved, defined, stage_inputs, shapes)


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
        loop = {axis: label for axis, label in cell.index} if cell.key else {}  # an echo carries its loop

    def name_of(key: str, spec: str | None) -> str:
        key, index = names.target(key, spec, loop, place)
        name = element_name(key, index)
        if ALL in index:
            defined.setdefault(name, _rectangle(key, index, names, placed, place))
        elif name not in placed:
            raise DefinitionError(place, f"{name} is on no sheet")
        return name

    def put(match: Any) -> str:
        key, spec = match.group(1), match.group(2)
        if key == ITEM:
            return name_of(f"{loop['item']}_verdict", ALL)
        if key == BLANKS:
            blanks = [f"COUNTBLANK({name_of(key, ALL)})" for key in stage_inputs[loop["stage"]]]
            return "+".join(blanks) or "0"
        return name_of(key, spec)

    formula = PLACEHOLDER.sub(put, cell.formula)
    fields = {name: getattr(cell, name) for name in PlannedCell.__dataclass_fields__}
    return PlannedCell(**{**fields, "formula": formula})


def _rectangle(
    key: str, index: Index, names: Names, placed: Mapping[str, PlannedCell], place: str
) -> tuple[str, tuple[int, int], tuple[int, int]]:
    entry = names.catalogue.entries[key]
    members: list[PlannedCell] = []
    for candidate in indices(entry, names.build.layout, names.catalogue):
        if all(want in (ALL, have) for want, have in zip(index, candidate, strict=True)):
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
