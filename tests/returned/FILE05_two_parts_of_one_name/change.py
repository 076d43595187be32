"""Two parts of the file have one name, so that two programs see two workbooks."""

import io
import warnings
import zipfile


def change(data, _):
    out = io.BytesIO(data)
    with warnings.catch_warnings(), zipfile.ZipFile(out, "a") as archive:
        warnings.simplefilter("ignore")
        archive.writestr("xl/workbook.xml", archive.read("xl/workbook.xml"))
    return out.getvalue()
