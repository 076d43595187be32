"""The visible sheets were copied, as values, into a new workbook."""

import io

import openpyxl


def change(data, _):
    source = openpyxl.load_workbook(io.BytesIO(data), data_only=True)
    book = openpyxl.Workbook()
    book.remove(book.active)
    for sheet in source.worksheets:
        if sheet.sheet_state == "visible":
            copy = book.create_sheet(sheet.title)
            for line in sheet.iter_rows(values_only=True):
                copy.append(line)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
