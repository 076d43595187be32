"""Somebody sent a workbook of their own."""

import io

import openpyxl


def change(_, __):
    book = openpyxl.Workbook()
    book.active.title = "Bores"
    for row in (["Cylinder", "Top", "Bottom"], [1, 86.002, 85.998], [2, 86.004, 86.0]):
        book.active.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
