"""A table was exported as text and given the name of a workbook."""

def change(_, __):
    return b"bore,1,2,3\ntop,86.002,86.004,86.001\n"
