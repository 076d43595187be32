"""The same file came in an archive, too."""

import io
import zipfile


def pile(data, _):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("march/job.xlsx", data)
    return {"job.xlsx": data, "sent.zip": out.getvalue()}
