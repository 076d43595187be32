"""The hidden sheet was shown and deleted."""

from sheetgen.plan import BIRTH_SHEET
from tests.returned.edits import delete_sheet


def change(data, _):
    return delete_sheet(data, BIRTH_SHEET)
