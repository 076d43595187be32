"""Column widths, row heights and page breaks of one sheet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from sheetgen.catalogue import Catalogue, Entry
from sheetgen.gaps import LIST_COLUMN
from sheetgen.layout import materials
from sheetgen.look import VERDICTS, look, properties
from sheetgen.planned import Band, PlannedCell, PlannedSheet, column_letters
from sheetgen.sheet_cells import LABEL_COLUMN
from sheetgen.text_fit import PIXELS_PER_POINT, column_characters, column_pixels, text_width, wrapped_lines

POINTS_PER_INCH = 72
SHEETS_OF_PAPER = {"millimetre": (9, 595.3, 841.9), "inch": (1, 612.0, 792.0)}
"""By family of units: the paper's number in the file, its shorter and its longer side in points."""
SHRUNK = 1.25
"""A word that is wider than its cell by less than this is shrunk to fit; a longer one is wrapped."""
INDENT = 10
"""Pixels of one step of indent."""
WRAPPED = (
    "column_header", "element_header", "row_label", "pane_label", "working_label", "note", "help", "text",
    "caution", "key_text", "table_text", "gap_label", "guide_text",
)
MAY_WRAP = frozenset((*WRAPPED, *VERDICTS, "input"))
"""What is not among these is one line: most cells."""


def column_widths(sheet: PlannedSheet, cells: Sequence[PlannedCell]) -> list[float]:
    """Return the width of each column, in characters.

    The labels' column is as wide as they need.  Empty columns fill a narrow sheet up to the width of a
    page, so that all sheets print at much the same scale.
    """
    widths = look()["widths"]
    longest = max(
        (
            text_width(cell.value, properties("row_label")["font_size"])
            for cell in cells
            if cell.column == LABEL_COLUMN and cell.role in ("row_label", "working_label", "constant")
        ),
        default=0.0,
    )
    label = min(widths["label_most"], max(widths["label_least"], column_characters(longest + INDENT)))
    given = widths.get(sheet.template.stem, {})
    made = [
        float(given.get(column_letters(column), label if column == LABEL_COLUMN else widths["data"]))
        for column in range(1, sheet.columns + 1)
    ]
    while not sheet.template.portrait and sum(made) + widths["data"] <= widths["page"]:
        made.append(float(widths["data"]))
    return made


NOTE_LINES = 2.5


def row_heights(
    sheet: PlannedSheet, cells: Sequence[PlannedCell], texts: Sequence[float], catalogue: Catalogue,
    **other: float,
) -> list[float]:
    """Return the height of each row, in points: what its cells need, a gap where there are none.

    `texts` are the heights of the cells' texts; `other` heights come before those of the look: `entry` is
    that of a reading.
    """
    points = {**look()["heights"], **look()["heights_of"].get(sheet.template.stem, {}), **other}
    base: dict[str, float] = {
        "title": points["title"], "purpose": points["purpose"], "missing_label": points["head"],
        "first_gap": points["first_gap"],
        "gap": points["head"], "filled_by": points["purpose"], "signature": points["signature"],
        "block_title": points["block"], "working_title": points["block"], "working": points["working"],
        "constant": points["working"], "element_header": points["working"], "help": points["help"],
        "chart": points["chart"], "guide_label": points["guide"],
    }
    small = dict.fromkeys(("unit_header", "working_label", "note", "first_gap_label"), points["working"])
    heights = [0.0] * sheet.rows
    tall: list[tuple[PlannedCell, float]] = []
    for cell, text in zip(cells, texts, strict=True):
        if cell.column >= LIST_COLUMN:
            continue  # beside rows of any height
        need = base.get(cell.role, small.get(cell.role, points["row"]))
        if cell.role == "input":
            entry = catalogue.entries[cell.key]
            need = float(points[_entry_height(entry)])
            if entry.text == "note" and entry.over == ("candidate",):
                need *= NOTE_LINES  # a few words in a narrow column
        need = max(need, text)
        if cell.role == "picture":
            continue
        if cell.role == "drawing":
            for row in range(cell.row - 1, cell.row - 1 + cell.rows):
                heights[row] = max(heights[row], points["drawing"])
        elif cell.rows == 1:
            heights[cell.row - 1] = max(heights[cell.row - 1], need)
        else:
            tall.append((cell, need))
    for cell, need in tall:
        first, last = cell.row - 1, cell.row - 1 + cell.rows
        for row in range(first, last):
            heights[row] = heights[row] or points["working"]
        heights[first] += max(0.0, need - sum(heights[first:last]))
    return [height or points["gap"] for height in heights]


def text_heights(
    cells: Sequence[PlannedCell], widths: Sequence[float], catalogue: Catalogue
) -> list[float]:
    """Return the height that each cell's text needs; columns at the right of all cells change none."""
    return [_text_height(cell, widths, catalogue) for cell in cells]


def _entry_height(entry: Entry) -> str:
    """Return which height a row of entries has: a reading's is the biggest target."""
    if entry.of:
        return "row"
    return "entry" if entry.over and entry.over != ("candidate",) else "form_entry"


def _text_height(cell: PlannedCell, widths: Sequence[float], catalogue: Catalogue) -> float:
    """Return the height a cell's text needs where it is wrapped, 0 where it is not."""
    if cell.role not in MAY_WRAP and cell.key != "job_note":
        return 0.0
    entry = catalogue.entries.get(cell.key)
    if cell.role == "input" and cell.key != "job_note" and (entry is None or entry.list != "material_name"):
        return 0.0
    points, style = look()["heights"], properties(cell.role)
    texts: Sequence[str] = ()
    pixels = cell_pixels(cell, widths)
    pixels -= INDENT if style.get("indent") else 0
    if cell.role in WRAPPED and isinstance(cell.value, str):
        texts = (cell.value,)
    elif cell.role in VERDICTS and entry is not None:
        texts = catalogue.words[entry.words] if needs_two_lines(entry, pixels, catalogue) else ()
    elif cell.key == "job_note":
        return 2 * points["line"] + 4.0
    elif cell.role == "input" and entry is not None and entry.list == "material_name":
        texts = [material["name"] for material in materials()]
    if not texts:
        return 0.0
    bold = bool(style.get("bold"))
    bad = look()["tone"]["bad"] if cell.role in VERDICTS else ()
    lines = max(wrapped_lines(text, pixels, style["font_size"], bold=bold or text in bad) for text in texts)
    if lines == 1:
        return 0.0
    line = points["line"] if style["font_size"] == look()["sizes"]["body"] else points["small_line"]
    return lines * line + (2.0 if cell.role in ("column_header", "element_header", "note", "help") else 2.4)


def cell_pixels(cell: PlannedCell, widths: Sequence[float]) -> float:
    """Return how many pixels wide a cell is."""
    return sum(map(column_pixels, widths[cell.column - 1 : cell.column - 1 + cell.columns]))


def needs_two_lines(entry: Entry, pixels: float, catalogue: Catalogue) -> bool:
    """Return whether a word of the entry's list is too long for one line, even a little shrunk."""
    return _widest(catalogue.words[entry.words]) > SHRUNK * pixels


@cache
def _widest(words: tuple[str, ...]) -> float:
    """Return the width of the widest word of a list, in pixels."""
    size, bad = look()["sizes"]["body"], look()["tone"]["bad"]
    return max(text_width(word, size, bold=word in bad) for word in words)


def paper_size(family: str, *, portrait: bool) -> tuple[float, float]:
    """Return the printable width and height in points."""
    paper = look()["paper"]
    _, short, long = SHEETS_OF_PAPER[family]
    width, height = (short, long) if portrait else (long, short)
    return (
        width - (paper["left"] + paper["right"]) * POINTS_PER_INCH,
        height - (paper["top"] + paper["bottom"]) * POINTS_PER_INCH,
    )


def print_scale(widths: Sequence[float], family: str, *, portrait: bool) -> float:
    """Return the scale at which the sheet is one page wide, in whole per cents, at most 1."""
    across = sum(column_pixels(width) for width in widths) / PIXELS_PER_POINT
    return min(1.0, math.floor(100 * paper_size(family, portrait=portrait)[0] / across) / 100)


def is_shrunk(
    sheet: PlannedSheet, widths: Sequence[float], heights: Sequence[float], family: str
) -> bool:
    """Return whether a sheet is shrunk onto one page: it is to be one, and is a little too tall."""
    portrait = sheet.template.portrait
    room = paper_size(family, portrait=portrait)[1] * look()["paper"]["reserve"]
    room /= print_scale(widths, family, portrait=portrait)
    total = sum(heights[: sheet.printed_rows])
    return bool(sheet.template.one_page and room < total <= room * look()["paper"]["shrink"])


def _last_of_kin(bands: Sequence[Band]) -> int:
    """Return the last row of the first band and of those that go on with it without a title of their own."""
    last = bands[0].last
    for band in bands[1:]:
        if band.titled or band.starts_page:
            break
        last = band.last
    return last


def page_breaks(
    sheet: PlannedSheet, widths: Sequence[float], heights: Sequence[float], family: str
) -> list[int]:
    """Return the rows after which a page ends, so that a band of rows stays whole where it fits."""
    portrait = sheet.template.portrait
    room = paper_size(family, portrait=portrait)[1] * look()["paper"]["reserve"]
    room /= print_scale(widths, family, portrait=portrait)
    if is_shrunk(sheet, widths, heights, family):
        return []
    breaks: list[int] = []
    used, repeated, done = 0.0, heights[0], 0
    bands = [band for band in sheet.bands if band.first <= sheet.printed_rows]
    for number, band in enumerate(bands):
        before = sum(heights[done : band.first - 1])
        height = sum(heights[band.first - 1 : band.last])
        if breaks or done:
            together = sum(heights[band.first - 1 : _last_of_kin(bands[number:])])
            whole = together if together <= room - repeated else height
            fits = used + before + whole <= room
            if band.starts_page or not fits:
                breaks.append(band.first - 1)
                used, before = repeated, 0.0
        used += before + height
        while used > room:
            used = used - room + repeated
        done = band.last
    return breaks
