"""Writes cells and names by XlsxWriter alone, in a process that loads nothing else: for `tests.benchmark`."""

import json
import sys
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_range_abs


def write(cells: Path, out: str) -> None:
    """Write what a file lists: sheet, row, column, formula and value of cells; then names and their areas."""
    told, names = json.loads(cells.read_text("utf-8"))
    with xlsxwriter.Workbook(out) as book:
        pages: dict[str, Any] = {}
        form = book.add_format({"border": 1})  # a blank cell without any format is not written
        for title, row, column, formula, value in told:
            page = pages.get(title) or pages.setdefault(title, book.add_worksheet(title))
            if formula:
                page.write_formula(row, column, formula, form)
            else:
                page.write(row, column, value, form)
        for name, (title, first, last) in names:
            area = xl_range_abs(first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1)
            book.define_name(name, f"='{title}'!{area}")


if __name__ == "__main__":
    write(Path(sys.argv[1]), sys.argv[2])
