"""How large a sheet prints: as large as it may without a page that holds little."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from sheetgen.catalogue import Catalogue
from sheetgen.look import look
from sheetgen.paper import column_widths, page_breaks, print_scale, row_heights, text_heights
from sheetgen.planned import PlannedCell, PlannedSheet
from sheetgen.text_fit import column_characters, column_pixels

POINTS_PER_MILLIMETRE = 72 / 25.4
STEP = 0.02


def measures(
    sheet: PlannedSheet, cells: Sequence[PlannedCell], catalogue: Catalogue, family: str
) -> tuple[list[float], list[float]]:
    """Return the widths of the columns and the heights of the rows.

    Of a sheet that takes several pages, the rows of readings may become a little lower and the whole a
    little smaller, with an empty column at its right, if a page is saved by it. The largest print that
    takes the fewest pages is taken.
    """
    widths = column_widths(sheet, cells)
    texts = text_heights(cells, widths, catalogue)
    heights = row_heights(sheet, cells, texts, catalogue)
    fewest = len(page_breaks(sheet, widths, heights, family))
    sizes = list(smaller(widths, family, portrait=sheet.template.portrait)) if fewest else []

    def tried(wider: list[float], entry: float) -> tuple[int, list[float], list[float]]:
        lower = row_heights(sheet, cells, texts, catalogue, entry=entry)
        return len(page_breaks(sheet, wider, lower, family)), wider, lower

    smallest = [tried(*size) for size in sizes[-1:]]
    if not smallest or smallest[0][0] >= fewest:
        return widths, heights
    found = itertools.chain((tried(*size) for size in sizes[:-1]), smallest)
    return next((wider, lower) for pages, wider, lower in found if pages <= smallest[0][0])


def smaller(widths: Sequence[float], family: str, *, portrait: bool) -> Iterator[tuple[list[float], float]]:
    """Yield widths that print ever smaller, each with the least height of a reading at that scale."""
    paper, whole = look()["paper"], print_scale(widths, family, portrait=portrait)
    across = sum(column_pixels(width) for width in widths)
    for step in range(int((1 - paper["least_scale"] / whole) / STEP) + 1):
        more = across / (1 - step * STEP) - across
        wider = [*widths, *([column_characters(more)] if step else [])]
        scale = print_scale(wider, family, portrait=portrait)
        if step and scale < paper["least_scale"]:
            return
        pen = paper["pen"] * POINTS_PER_MILLIMETRE / scale
        yield wider, min(max(pen, look()["heights"]["entry_least"]), look()["heights"]["entry"])
