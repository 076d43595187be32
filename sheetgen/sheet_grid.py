"""The grid of one sheet: which cell stands where, block by block."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from sheetgen.catalogue import TEMPLATES, Entry, read_toml
from sheetgen.diagrams.render import alternative
from sheetgen.errors import DefinitionError
from sheetgen.layout import Index, bolt_classes, materials
from sheetgen.naming import Names, element_label, element_name
from sheetgen.planned import Band, PlannedCell, PlannedSheet
from sheetgen.sheet_words import SheetWords, item_label
from sheetgen.template import Block, Line, Shapes, Template

LABEL_COLUMN = 1
HEAD_ROWS = 4
JOB_COLUMN = 4
PICTURE_COLUMNS, GUIDE_COLUMNS = 3, 6
SAMPLES = ("entry", "filled", "optional", "result", "working", "echo", "verdict")

class SheetGrid:
    """Lays out one sheet: its head, then block under block, some beside one another."""

    def __init__(self, template: Template, names: Names, shapes: Shapes) -> None:
        self.template, self.names, self.shapes = template, names, shapes
        self.build, self.catalogue, self.words = names.build, names.catalogue, SheetWords(names)
        self.cells: list[PlannedCell] = []
        self.row, self.base, self.span, self.alone = 1, LABEL_COLUMN, 1, True
        self.label_role, self.text_end, self.crowded = "row_label", template.text_columns, False

    @property
    def first(self) -> int:
        """The column right of the labels of the block at hand."""
        return self.base + self.span

    def put(self, column: int, role: str, **fields: Any) -> None:
        """Put one cell, in the row at hand unless told otherwise."""
        row = fields.pop("row", self.row)
        self.cells.append(PlannedCell(sheet=self.template.title, row=row, column=column, role=role, **fields))

    def planned(self) -> PlannedSheet:
        """Put the whole sheet; return what it takes up."""
        self.put_head()
        heads: list[tuple[str, int]] = []
        tops: list[int] = []
        ends: dict[int, int] = {}
        bands: list[Band] = []
        blocks = self.template.blocks
        for number, block in enumerate(blocks):
            beside = block.column > LABEL_COLUMN
            neighbours = [
                later.column
                for distance, later in enumerate(blocks[number + 1 :], 1)
                if later.beside >= distance and later.column > block.column
            ]
            self.alone = not block.beside and not neighbours
            self.text_end = min(neighbours, default=self.template.text_columns + 1) - 1
            self.crowded = bool(neighbours)
            self.label_role = "working_label" if block.workings else "pane_label" if beside else "row_label"
            if block.beside:
                self.row = tops[-block.beside]
            elif beside:
                self.row = ends[block.column]
            else:
                self.row = max(ends.values(), default=HEAD_ROWS + 2)
            self.base = block.column
            self.span = block.span or (1 if block.column == LABEL_COLUMN else 2)
            tops.append(self.row)
            heads.append((block.title or (heads[-1][0] if heads else ""), len(self.cells)))
            self.put_block(block)
            self.row += 1
            ends[block.column] = self.row
            band = Band(tops[-1], self.row - 2, block.page_break, block.workings)
            joined = [b for b in bands if b.last >= band.first]
            bands = [b for b in bands if b.last < band.first]
            bands.append(
                Band(
                    min(b.first for b in (*joined, band)),
                    max(b.last for b in (*joined, band)),
                    any(b.starts_page for b in (*joined, band)),
                    all(b.workings for b in (*joined, band)),
                )
            )
        self.put_gaps(heads)
        columns = max(cell.column + cell.columns - 1 for cell in self.cells)
        return PlannedSheet(self.template, columns, bands[-1].last, tuple(bands))

    def put_head(self) -> None:
        """Title and job number; purpose; who fills the sheet in."""
        self.put(LABEL_COLUMN, "title", value=self.template.title)
        if self.template.stem != "job_card":
            self.put(JOB_COLUMN, "job_label", value=self.catalogue.entries["job_number"].label)
            self.put(JOB_COLUMN + 1, "job", key="job_number",
                     formula=self.shapes.job.replace("{value}", "{job_number}"))
        self.row += 1
        self.put(LABEL_COLUMN, "purpose", value=self.template.purpose)
        self.row += 1
        self.put(LABEL_COLUMN, "filled_by", value=f"Filled by: {self.template.filled_by}")

    def put_gaps(self, heads: Sequence[tuple[str, int]]) -> None:
        """Put into the head what is missing: on the sheet, and block by block, each a link to its entries.

        `heads` has each block's title and where its cells begin among those that are put.
        """
        if not self.template.counted or self.template.stem == "job_card":
            return
        required: dict[str, list[PlannedCell]] = {}
        ends = [*(start for _, start in heads[1:]), len(self.cells)]
        for (title, start), end in zip(heads, ends, strict=True):
            for cell in self.cells[start:end]:
                if cell.is_input and not self.catalogue.entries[cell.key].optional:
                    required.setdefault(title, []).append(cell)
        self.put(LABEL_COLUMN, "missing_label", value="Entries still missing here", row=HEAD_ROWS)
        first = next((cells[0].address for cells in required.values()), "")
        self.put(
            LABEL_COLUMN + 1, "missing", row=HEAD_ROWS, link=first,
            formula=self.shapes.echo.replace("{value}", f"{{stage_missing[stage={self.template.stem}]}}"),
        )
        column = LABEL_COLUMN + 2
        for title, cells in required.items():
            keys = dict.fromkeys(cell.key for cell in cells)
            self.put(column, "gap_label", value=title.partition(",")[0], row=HEAD_ROWS)
            self.put(column + 1, "gap", row=HEAD_ROWS, link=cells[0].address,
                     formula="=" + "+".join(f"COUNTBLANK({{{key}[*]}})" for key in keys))
            column += 2

    def put_block(self, block: Block) -> None:
        """Put a block's title, its help and its cells; the rule under the title is as wide as they."""
        top = len(self.cells)
        if block.title:
            self.put(self.base, "working_title" if block.workings else "block_title", value=block.title)
            self.row += 1
        if block.help:
            self.put(self.base, "help", value=block.help)
            self.row += 1
        body = len(self.cells)
        getattr(self, f"put_{block.kind}")(block)
        last = max(cell.column + cell.columns - 1 for cell in self.cells[body:])
        for number in range(top, body):
            is_help = self.cells[number].role == "help"
            wide = max(self.text_end, last if self.base > LABEL_COLUMN else 0) if is_help else last
            self.cells[number] = replace(self.cells[number], columns=wide - self.base + 1)

    # ------------------------------------------------------------ single cells

    def quantity(
        self, column: int, key: str, index: Index, *, formula: str = "", workings: bool = False
    ) -> None:
        """Put one element of a quantity: an input, a formula or a number that follows from the layout."""
        entry = self.catalogue.entries[key]
        fields: dict[str, Any] = {
            "name": element_name(key, index), "key": key, "index": index,
            "label": element_label(entry, index, self.catalogue),
        }
        if entry.is_input:
            self.put(column, "input", value=self.build.entries.get((key, index)), **fields)
        elif entry.kind in ("fixed", "constant"):
            self.put(column, "constant", value=self.words.fixed(key, index), **fields)
        else:
            role = "verdict" if entry.words else "working" if workings else "result"
            self.put(column, role, formula=formula or self.limit_formula(entry), **fields)

    def limit_formula(self, entry: Entry) -> str:
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
            key, label = self.element(guard)
            guard = f"{key}[{self.catalogue.entries[key].over[0]}={label}]"
        return text.replace("{guard}", f"{{{guard}}}")

    def element(self, name: str) -> tuple[str, str]:
        """Split an element name of a one-axis quantity into key and label."""
        for key, entry in self.catalogue.entries.items():
            if len(entry.over) == 1 and name.startswith(f"{key}_"):
                label = name.removeprefix(f"{key}_")
                if label in self.catalogue.axes[entry.over[0]].elements:
                    return key, label
        raise DefinitionError("quantities.toml", f"guard '{name}' is neither a quantity nor an element")

    def one(self, column: int, line: Line, loop: Mapping[str, str], block: Block) -> None:
        """Put one cell of a line at this turn of the loop."""
        if line.echo:
            entry = self.catalogue.entries[line.echo]
            role = "verdict_echo" if entry.words and not entry.is_input else "echo"
            formula = self.shapes.echo.replace("{value}", f"{{{line.echo}}}")
            self.put(column, role, formula=formula, key=line.echo, index=tuple(sorted(loop.items())))
            return
        index = tuple(loop[axis] for axis in self.catalogue.entries[line.quantity].over)
        self.quantity(column, line.quantity, index, formula=line.formula, workings=block.workings)

    def widen(self, columns: int) -> None:
        """Let the cell put last take several columns."""
        self.cells[-1] = replace(self.cells[-1], columns=columns)

    # ------------------------------------------------------------ blocks

    def paragraphs(self, block: Block, role: str) -> None:
        """Put each paragraph as one wide cell."""
        for paragraph in block.text:
            self.put(self.base, role, value=paragraph, columns=self.template.text_columns - self.base + 1)
            self.row += 1

    def put_text(self, block: Block) -> None:
        """Put plain paragraphs."""
        self.paragraphs(block, "text")

    def put_cautions(self, block: Block) -> None:
        """Put paragraphs that stand out."""
        self.paragraphs(block, "caution")

    def put_chart(self, block: Block) -> None:
        """Put one tall cell for each chart, side by side over the width of the sheet."""
        wide = self.template.text_columns // len(block.charts)
        for number, key in enumerate(block.charts):
            self.put(self.base + number * wide, "chart", key=key, label=block.chart_over, columns=wide)
        self.row += 1

    def put_signed(self, block: Block) -> None:
        """Put lines to sign on, with room for a hand."""
        self.paragraphs(block, "signature")

    def put_drawing(self, block: Block) -> None:
        """Keep room for a chart; its words for those who cannot see it go with it."""
        self.put(self.base, "drawing", index=(block.chart,), label=block.text[0], rows=block.tall,
                 columns=block.wide)
        self.row += block.tall

    def put_guide(self, block: Block) -> None:
        """Put a picture of what is measured where, and beside it what to do, line by line."""
        self.put(self.base, "picture", index=(block.picture,), label=alternative(block.picture),
                 rows=len(block.text), columns=PICTURE_COLUMNS)
        start = self.base + PICTURE_COLUMNS
        for text in block.text:
            label, told = text.split(" | ")
            self.put(start, "guide_label", value=label)
            self.put(start + 1, "guide_text", value=told, columns=GUIDE_COLUMNS)
            self.row += 1

    def put_key(self, block: Block) -> None:
        """Put samples of the cells of a sheet, each with its meaning."""
        for text in block.text:
            role, sample, meaning = text.split(" | ")
            if role not in SAMPLES:
                raise DefinitionError(f"sheets/{self.template.stem}", f"no sample of '{role}'")
            self.put(self.base, f"sample_{role}", value=sample)
            wide = self.template.text_columns - self.first + 1
            self.put(self.first, "key_text", value=meaning, columns=wide)
            self.row += 1

    def put_form(self, block: Block) -> None:
        """Put line under line: label, value, unit, a note."""
        for line in block.lines:
            key = line.quantity or line.echo
            entry = self.catalogue.entries[key]
            loop = dict(line.at)
            index = tuple(loop[axis] for axis in entry.over)
            label = line.label or element_label(entry, index, self.catalogue)
            self.put(self.base, self.label_role, value=label, columns=self.span)
            self.one(self.first, line, loop, block)
            if entry.measure:
                unit = self.words.unit(key)
                if unit:
                    self.put(self.first + 1, "unit", value=unit)
            elif not self.cells[-1].is_input and not (self.crowded and self.text_end <= self.first + 1):
                self.widen(2)
            elif key.endswith("_note") and self.alone and line.quantity:
                self.widen(self.text_end - self.first + 1)
            note = line.note or (entry.prompt if entry.is_input and line.quantity else "")
            if note and self.alone:
                start = self.first + 2
                self.put(start, "note", value=note, columns=self.template.text_columns - start + 1)
            self.row += 1

    def put_table(self, block: Block) -> None:
        """Put one row for each element of the block's axis, under a head of names, places and units."""
        rows, column, header = self.words.labels(block.rows), self.first, self.row
        depth = max(len(line.across) for line in block.lines)
        has_units = any(
            not line.printed and self.words.unit(line.quantity or line.echo) and not line.across
            for line in block.lines
        )
        first = header + 1 + depth + has_units
        self.put(self.base, "column_header", value=self.words.axis_label(block.rows), columns=self.span,
                 rows=first - header)
        for line in block.lines:
            if line.printed:
                self.put_printed(column, line, block.rows, first)
                column += line.columns
                continue
            turns = self.words.turns(line.across)
            self.put_column_heads(column, line, turns, depth, has_units=has_units)
            for turn in turns:
                for offset, label in enumerate(rows):
                    self.row = first + offset
                    self.one(column, line, {block.rows: label, **turn, **dict(line.at)}, block)
                column += 1
            self.row = header
        for offset, label in enumerate(rows):
            self.put(self.base, self.label_role, value=self.words.row_label(block.rows, label),
                     row=first + offset, columns=self.span)
        self.row = first + len(rows)

    def put_printed(self, column: int, line: Line, axis: str, first: int) -> None:
        """Put a column of texts, one for each row of a table."""
        self.put(column, "column_header", value=line.label, columns=line.columns, rows=first - self.row)
        for offset, label in enumerate(self.words.labels(axis)):
            text = self.words.printed(line.printed, label)
            self.put(column, "table_text", value=text, row=first + offset, columns=line.columns)

    def put_column_heads(
        self, column: int, line: Line, turns: Sequence[Mapping[str, str]], depth: int, *, has_units: bool
    ) -> None:
        """Put the head over the columns of one line: its name, one row for each axis across, the unit."""
        key, levels, width = line.quantity or line.echo, len(line.across), len(turns)
        top, name = self.row, line.label or self.catalogue.entries[key].label
        self.put(column, "column_header", value=name if has_units else self.words.with_unit(name, key),
                 columns=width, rows=1 + depth - levels)
        for level, axis in enumerate(line.across, 1):
            start = column
            paths = [[turn[a] for a in line.across[:level]] for turn in turns]
            for path, members in itertools.groupby(paths):
                count = len(list(members))
                self.put(start, "element_header", value=self.words.told(axis, path[-1]), columns=count,
                         row=top + depth - levels + level)
                start += count
        if has_units:
            self.put(column, "unit_header", value=self.words.unit(key), columns=width, row=top + depth + 1)

    def put_cross(self, block: Block) -> None:
        """Put one column for each element of the block's axis, one row for each quantity."""
        labels = self.words.labels(block.rows)
        self.put(self.base, "column_header", value=self.words.axis_label(block.rows), columns=self.span)
        for offset, label in enumerate(labels):
            told = self.words.told(block.rows, label)
            self.put(self.first + offset, "column_header", value=told[:1].upper() + told[1:])
        self.row += 1
        for line in block.lines:
            key = line.quantity or line.echo
            self.put(self.base, self.label_role, columns=self.span,
                     value=self.words.with_unit(line.label or self.catalogue.entries[key].label, key))
            for offset, label in enumerate(labels):
                self.one(self.first + offset, line, {block.rows: label, **dict(line.at)}, block)
            self.row += 1

    def put_limits(self, block: Block) -> None:
        """Put one row for each limited quantity: its limits, where they come from, what is used."""
        heads = ("Lower", "Upper", "Taken from", "Limits are", "Lower used", "Upper used")
        self.put(self.base, "column_header", value="Limits")
        for offset, head in enumerate(heads):
            self.put(self.first + offset, "column_header", value=head)
        self.row += 1
        told = [self.catalogue.entries[key].label for key in block.limits]
        for key in block.limits:
            entry = self.catalogue.entries[key]
            label = item_label(entry) if told.count(entry.label) > 1 else entry.label
            self.put(self.base, "row_label", value=self.words.with_unit(label, key))
            for offset, side in enumerate(("lower", "upper")):
                if entry.limits in ("both", side):
                    self.quantity(self.first + offset, f"{key}_{side}", ())
                else:
                    self.put(self.first + offset, "none", value="none")
            self.quantity(self.first + 2, f"{key}_origin", ())
            self.quantity(self.first + 3, f"{key}_limit_state", ())
            self.quantity(self.first + 4, f"{key}_floor", (), workings=True)
            self.quantity(self.first + 5, f"{key}_ceiling", (), workings=True)
            self.row += 1

    def put_constants(self, block: Block) -> None:
        """Put every constant with its unit and its source, group by group."""
        wide = self.template.text_columns - self.first - 1
        for group in read_toml(TEMPLATES / "constants.toml")["block"]:
            for column, head, columns in (
                (self.base, group["title"], 1), (self.first, "Value", 1), (self.first + 1, "Unit", 1),
                (self.first + 2, "Source", wide),
            ):
                self.put(column, "column_header", value=head, columns=columns)
            self.row += 1
            for constant in group["constants"]:
                key, value = constant["key"], constant["value"]
                label = self.catalogue.entries[key].label
                if isinstance(value, list):
                    value = value[0 if self.build.family == "millimetre" else 1]
                self.put(self.base, self.label_role, value=label)
                self.put(self.first, "constant", name=key, key=key, value=value, label=label)
                if self.words.unit(key):
                    self.put(self.first + 1, "unit", value=self.words.unit(key))
                self.put(self.first + 2, "note", value=constant["source"], columns=wide)
                self.row += 1
            self.row += 1
        self.row -= 1

    def put_materials(self, block: Block) -> None:
        """Put the table of materials."""
        for offset, head in enumerate(("Material", "Expansion, 10⁻⁶/K", "Modulus, GPa")):
            self.put(self.base + offset, "column_header", value=head)
        self.row += 1
        for number, material in enumerate(materials(), 1):
            index = (f"m{number}",)
            for offset, (key, value) in enumerate((
                ("material_name", material["name"]),
                ("material_expansion", material["expansion"]),
                ("material_modulus", material.get("modulus", 0)),
            )):
                entry = self.catalogue.entries[key]
                self.put(self.base + offset, "constant", name=element_name(key, index), key=key, index=index,
                         value=value, label=element_label(entry, index, self.catalogue))
            self.row += 1

    def put_classes(self, block: Block) -> None:
        """Put the table of strength classes."""
        for offset, head in enumerate(("Strength class", "Proof stress, MPa", "Yield stress, MPa")):
            self.put(self.base + offset, "column_header", value=head)
        self.row += 1
        for number, strength in enumerate(bolt_classes(), 1):
            index = (f"k{number}",)
            for offset, field in enumerate(("name", "proof", "yield")):
                key = f"bolt_class_{field}"
                label = element_label(self.catalogue.entries[key], index, self.catalogue)
                self.put(self.base + offset, "constant", name=element_name(key, index), key=key, index=index,
                         value=strength[field], label=label)
            self.row += 1


def all_cells(grids: Iterable[SheetGrid]) -> list[PlannedCell]:
    """Return the cells of several sheets, in order."""
    return [cell for grid in grids for cell in grid.cells]
