"""A part declares entities of its own."""

from tests.returned.edits import pack, unpack

BOOK = "xl/workbook.xml"


def change(data, _):
    parts = unpack(data)
    start, end = parts[BOOK].split(b"<workbook", 1)
    parts[BOOK] = start + b'<!DOCTYPE workbook [<!ENTITY bore "86">]>' + b"<workbook" + end
    return pack(parts)
