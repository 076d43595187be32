"""The workbook was written anew with another limit, under the same job number."""

from sheetgen.workbook import workbook_bytes
from tests.returned.workbooks import fill_three, with_wider_limit


def issued(data, plan):
    return data


def change(data, plan):
    other = with_wider_limit(plan)
    return fill_three(workbook_bytes(other), other)
