"""The workbook was saved in the other office format."""

import io
import zipfile


def change(_, __):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("content.xml", "<content/>")
    return out.getvalue()
