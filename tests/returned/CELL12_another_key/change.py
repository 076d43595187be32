"""The workbook was written with another shop's key."""

from sheetgen.seal import ShopKey
from sheetgen.workbook import workbook_bytes
from tests.returned.workbooks import fill_three

key = "5a" * 32


def change(data, plan):
    return fill_three(workbook_bytes(plan, key=ShopKey(b"another key, thirty-two bytes .."[:32])), plan)
