"""An archive holds two copies, in the later one of which a bore was measured again."""

import io
import zipfile

from sheetgen.fill import fill_workbook

again = {"bore_reading_2_top_thrust": 86.003}


def pile(data, plan):
    out = io.BytesIO()
    copies = {"job final.xlsx": (data, 4), "job v2.xlsx": (fill_workbook(data, plan, again), 6)}
    with zipfile.ZipFile(out, "w") as archive:
        for name, (copy, day) in copies.items():
            archive.writestr(zipfile.ZipInfo(name, (2031, 3, day, 8, 30, 0)), copy)
    return {"sent.zip": out.getvalue()}
