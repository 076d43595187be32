"""The workbook was sent out with a keyed digest, and comes back filled."""

from sheetgen.seal import ShopKey
from sheetgen.workbook import workbook_bytes
from tests.returned.workbooks import fill_three

key = "5a" * 32


def issued(data, plan):
    return workbook_bytes(plan, key=ShopKey(bytes.fromhex(key)))


def change(data, plan):
    return fill_three(issued(data, plan), plan)
