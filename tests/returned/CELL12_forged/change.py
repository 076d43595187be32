"""Another limit was written, with a birth record that fits it and the keyed digest of the true one."""

from sheetgen.seal import ShopKey
from sheetgen.workbook import workbook_bytes
from tests.returned.edits import edit_birth
from tests.returned.workbooks import fill_three, with_wider_limit

key = "5a" * 32


def change(data, plan):
    shop, other = ShopKey(bytes.fromhex(key)), with_wider_limit(plan)
    forged = fill_three(workbook_bytes(other, key=shop), other)
    return edit_birth(forged, "keyed digest", lambda _: shop.digest(plan))
