"""Coverage-guided spoiling of what the reader reads: ``python -m tests.fuzz.guided -max_total_time=600``.

Needs the extra ``fuzz`` (atheris). The first byte of an input says which part of a small workbook the rest
is: with a broken shell it would be refused before the reader, and nothing would be learnt. Half of the
changes are made in the markup, so that it stays well-formed; the others are libFuzzer's. Anything but a
workbook or an UnreadableFile ends the run and leaves the input in a file.
"""

from __future__ import annotations

import io
import random
import sys
import tempfile
from pathlib import Path

import atheris
import xlsxwriter

with atheris.instrument_imports(include=["validators"]):
    from validators.errors import UnreadableFile
    from validators.open_document import MEDIA_TYPE
    from validators.returned import read_returned

from tests.fuzz.markup import spoilt_part
from tests.fuzz.members import Parts, packed, unpacked
from tests.validators.test_open_document import cell, package, row, table

PARTS = (
    "", "xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/sharedStrings.xml", "xl/styles.xml",
    "[Content_Types].xml", "xl/_rels/workbook.xml.rels", "docProps/custom.xml", "content.xml",
)

MARKUP_SHARE = 0.5
LONGEST = 20_000


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


def seed_of(number: int) -> bytes:
    """Return the input that stands for a faultless part, by its number."""
    name = PARTS[number]
    if name == "content.xml":
        numbers = cell('office:value-type="float" office:value="86.012"', "86.012")
        formula = cell('table:formula="of:=[.A1]*2" office:value-type="float" office:value="172.024"')
        return bytes([number]) + unpacked(package(table(row(numbers, formula))))[name]
    return bytes([number]) + (WHOLE[name] if name else small_workbook())


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


def changed(data: bytes, most: int, seed: int) -> bytes:
    """Return an input changed in its markup or, half of the time and where it has none, in its bytes."""
    chance = random.Random(seed)
    if PARTS[data[0] % len(PARTS)] if data else "":
        new = data[:1] + spoilt_part(data[1:], chance) if chance.random() < MARKUP_SHARE else data
        if new != data and len(new) <= most:
            return new
    return bytes(atheris.Mutate(data, most))


def main() -> None:
    """Start from the parts of the small workbook, in a folder that is given or made.

    Seeds are kept although each covers what the others do, or only the shortest would be changed.
    """
    if not sys.argv[1:] or sys.argv[1].startswith("-"):
        folder = Path(tempfile.gettempdir()) / "boreledger-guided"
        folder.mkdir(exist_ok=True)
        for number in range(len(PARTS)):
            (folder / f"seed-{number}").write_bytes(seed_of(number))
        sys.argv.insert(1, str(folder))
    sys.argv += [f"-max_len={LONGEST}", "-len_control=0", "-keep_seed=1"]
    atheris.Setup(sys.argv, read, custom_mutator=changed)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
