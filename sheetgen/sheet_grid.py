"""The grid of one sheet: which cell stands where, block by block."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from sheetgen.diagrams.render import alternative
from sheetgen.errors import DefinitionError
from sheetgen.gaps import (
    LINE,
    LIST_COLUMN,
    LIST_HEADS,
    LIST_ROW,
    LISTED,
    NOW,
    Place,
    blanks,
    list_name,
    places_of,
)
from sheetgen.naming import element_label
from sheetgen.planned import Band, PlannedCell, PlannedSheet
from sheetgen.sheet_cells import LABEL_COLUMN
from sheetgen.sheet_lists import ListedBlocks
from sheetgen.template import Block, Line

HEAD_ROWS = 4
JOB_COLUMN = 4
PICTURE_COLUMNS, GUIDE_COLUMNS = 3, 6
SAMPLES = ("entry", "filled", "optional", "result", "working", "echo", "verdict")


class SheetGrid(ListedBlocks):
    """Lays out one sheet: its head, then block under block, some beside one another."""

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
            starts = [tops[-1], *self.cuts]
            titled = bool(block.title) or block.kind == "constants"
            for first, following in zip(starts, [*self.cuts, self.row], strict=True):
                band = Band(first, following - 2, block.page_break, block.workings, titled)
                bands = joined(bands, band)
            self.cuts.clear()
        self.put_gaps(heads)
        columns = max(c.column + c.columns - 1 for c in self.cells if c.column < LIST_COLUMN)
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
        parts: dict[str, list[PlannedCell]] = {}
        ends = [*(start for _, start in heads[1:]), len(self.cells)]
        for (title, start), end in zip(heads, ends, strict=True):
            parts.setdefault(title, []).extend(self.cells[start:end])
            for cell in self.cells[start:end]:
                if cell.is_input and not self.catalogue.entries[cell.key].optional:
                    required.setdefault(title, []).append(cell)
        self.put(LABEL_COLUMN, "missing_label", value="Entries still missing here", row=HEAD_ROWS)
        first = next((cells[0].address for cells in required.values()), "")
        count = f"{{stage_missing[stage={self.template.stem}]}}"
        self.put(LABEL_COLUMN + 1, "missing", row=HEAD_ROWS, link=first,
                 formula=self.shapes.echo.replace("{value}", count))
        column = LABEL_COLUMN + 2
        for number, (title, cells) in enumerate(required.items(), 1):
            keys = tuple(dict.fromkeys(cell.key for cell in cells))
            self.put(column, "gap_label", value=title.partition(",")[0], row=HEAD_ROWS)
            self.put(column + 1, "gap", row=HEAD_ROWS, link=cells[0].address, index=keys,
                     formula="=" + "+".join(f"COUNTBLANK({{{key}[*]}})" for key in keys))
            self.put(column, "first_gap", row=HEAD_ROWS + 1, columns=2, index=keys,
                     formula=self.first_gap(number))
            self.list_places(number, places_of(parts[title], cells))
            column += 2
        if required:
            self.put(LABEL_COLUMN, "first_gap_label", row=HEAD_ROWS + 1,
                     formula=self.shapes.first_gap_label.replace("{value}", count))

    def first_gap(self, number: int) -> str:
        """Return the formula that leads to the first place of a block with a blank entry."""
        return self.over_list(self.shapes.first_gap, number)

    def over_list(self, text: str, number: int) -> str:
        """Return a formula over a block's part of the list, with the names put in."""
        for word, role in zip(("places", "marks", "goals", "now"), LISTED, strict=True):
            text = text.replace(f"{{{word}}}", list_name(self.template.stem, role, number))
        return text

    def list_places(self, number: int, places: Sequence[Place]) -> None:
        """Put the places of a block into the list: name, whether an entry is blank, where a link leads."""
        everywhere: dict[str, list[PlannedCell]] = {}
        for cell in self.cells:
            if cell.name:
                everywhere.setdefault(cell.key, []).append(cell)
        if not self.ranges:
            for column, head in enumerate(LIST_HEADS, LIST_COLUMN):
                self.put(column, "gap_head", value=head, row=LIST_ROW)
        first = LIST_ROW + 1 + sum(cell.role == "gap_mark" for cell in self.cells)
        last = first + len(places) - 1
        for column, role in enumerate(LISTED, LIST_COLUMN):
            area = (first, column), (first if role == NOW else last, column)
            self.ranges[list_name(self.template.stem, role, number)] = (self.template.title, *area)
        keys = tuple(dict.fromkeys(cell.key for place in places for cell in place.cells))
        self.put(LIST_COLUMN + len(LINE), NOW, row=first, formula=self.over_list(self.shapes.gap_now, number),
                 index=keys)
        for row, place in enumerate(places, first):
            counted = blanks(place, self.catalogue.entries, everywhere)
            mark = self.shapes.gap_mark.replace("{blanks}", counted)
            self.put(LIST_COLUMN, "gap_place", row=row, value=place.label)
            self.put(LIST_COLUMN + 1, "gap_mark", row=row, formula=mark, index=place.names)
            self.put(LIST_COLUMN + 2, "gap_goal", row=row, value=place.goal)

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
            if note and self.alone and self.cells[-1].columns == 1:
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


def joined(bands: Sequence[Band], band: Band) -> list[Band]:
    """Return bands with one more; those that it stands beside become one with it."""
    beside = [other for other in bands if other.last >= band.first]
    whole = (*beside, band)
    return [
        *(other for other in bands if other.last < band.first),
        Band(
            min(one.first for one in whole),
            max(one.last for one in whole),
            any(one.starts_page for one in whole),
            all(one.workings for one in whole),
            any(one.titled for one in whole),
        ),
    ]


def all_cells(grids: Iterable[SheetGrid]) -> list[PlannedCell]:
    """Return the cells of several sheets, in order."""
    return [cell for grid in grids for cell in grid.cells]
