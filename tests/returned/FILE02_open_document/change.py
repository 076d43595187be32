"""A letter of the other office format under the name of a workbook."""

import io
import zipfile


def change(_, __):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.text")
        archive.writestr("content.xml", "<content/>")
    return out.getvalue()
