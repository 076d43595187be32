"""An archive holds the workbook as it was issued, and the filled one."""

import io
import zipfile

from tests.returned import workbooks


def pile(data, _):
    out = io.BytesIO()
    copies = {"a filled.xlsx": (data, 6), "b issued.xlsx": (workbooks.engine("three").issued, 4)}
    with zipfile.ZipFile(out, "w") as archive:
        for name, (copy, day) in copies.items():
            archive.writestr(zipfile.ZipInfo(name, (2031, 3, day, 8, 30, 0)), copy)
    return {"sent.zip": out.getvalue()}
