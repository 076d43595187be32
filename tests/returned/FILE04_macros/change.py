"""Somebody put macros into the workbook."""

from tests.returned.edits import pack, unpack


def change(data, _):
    return pack({**unpack(data), "xl/vbaProject.bin": b"macros"})
