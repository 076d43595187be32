"""Coverage-guided spoiling of what the reader reads: ``python -m tests.fuzz.guided -max_total_time=600``.

Needs the extra ``fuzz`` (atheris). The first byte of an input says which part of a small workbook the rest
is: with a broken shell it would be refused before the reader, and nothing would be learnt. Anything but a
workbook or an UnreadableFile ends the run and leaves the input in a file.
"""

from __future__ import annotations

import io
import sys
import tempfile
from pathlib import Path

import atheris
import xlsxwriter

with atheris.instrument_imports(include=["validators"]):
    from validators.errors import UnreadableFile
    from validators.open_document import MEDIA_TYPE
    from validators.returned import read_returned

from tests.fuzz.members import Parts, packed, unpacked

PARTS = (
    "", "xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/sharedStrings.xml", "xl/styles.xml",
    "[Content_Types].xml", "xl/_rels/workbook.xml.rels", "docProps/custom.xml", "content.xml",
)


def small_workbook() -> bytes:
    """Return a workbook with a little of everything the reader looks at."""
    target = io.BytesIO()
    with xlsxwriter.Workbook(target, {"in_memory": True}) as book:
        sheet = book.add_worksheet("Bores")
        sheet.write("A1", "Bore")
        sheet.write("B1", 86.012)
        sheet.write_formula("C1", "=B1*2", None, 172.024)
        sheet.write_boolean("D1", True)
        sheet.merge_range("A3:B3", "both")
        sheet.data_validation("B1", {"validate": "decimal", "criteria": ">", "value": 0})
        sheet.protect()
        book.define_name("bore_size_1", "=Bores!$B$1")
        book.set_custom_property("boreledger template", "1")
    return target.getvalue()


WHOLE: Parts = unpacked(small_workbook())


def file_of(data: bytes) -> bytes:
    """Return the file that an input stands for."""
    name = PARTS[data[0] % len(PARTS)] if data else ""
    if not name:
        return data[1:]
    if name == "content.xml":
        return packed({"mimetype": MEDIA_TYPE.removeprefix(b"mimetype"), name: data[1:]},
                      stored=frozenset({"mimetype"}))
    return packed({**WHOLE, name: data[1:]})


def read(data: bytes) -> None:
    """Read what an input stands for."""
    try:
        read_returned(file_of(data), Path("a.xlsx"))
    except UnreadableFile:
        return


def main() -> None:
    """Start from the parts of the small workbook, in a folder that is given or made."""
    if not sys.argv[1:] or sys.argv[1].startswith("-"):
        folder = Path(tempfile.gettempdir()) / "boreledger-guided"
        folder.mkdir(exist_ok=True)
        for number, name in enumerate(PARTS):
            seed = WHOLE.get(name, small_workbook() if not name else b"")
            (folder / f"seed-{number}").write_bytes(bytes([number]) + seed)
        sys.argv.insert(1, str(folder))
    atheris.Setup(sys.argv, read)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
