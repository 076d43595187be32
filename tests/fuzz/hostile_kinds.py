"""One file of every hostile or broken kind, made from a faultless workbook, and what must be said of it."""

from __future__ import annotations

import io
import json
import re
import struct
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from email.message import EmailMessage

from tests.fuzz.members import Parts, packed, unpacked
from tests.fuzz.run import base_of
from tests.validators.test_open_document import cell, package, row, table

SHEET, BOOK, TYPES = "xl/worksheets/sheet9.xml", "xl/workbook.xml", "[Content_Types].xml"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LAUGHS = "<!DOCTYPE x [<!ENTITY a 'ha'>" + "".join(
    f"<!ENTITY {new} '{f'&{old};' * 10}'>" for old, new in zip("abcdefgh", "bcdefghi", strict=True)
) + "]>"


@dataclass(frozen=True)
class Hostile:
    """One kind: what it is, the file, its name, and the code of the finding that must be among those made.

    `code` is "" for what is harmless and must be read as if it were not there.
    """

    kind: str
    make: Callable[[], bytes]
    code: str
    name: str = "hostile.xlsx"


def parts() -> Parts:
    """Return the parts of a faultless workbook."""
    return unpacked(base_of(0).data)


def with_part(name: str, change: Callable[[bytes], bytes]) -> bytes:
    """Return the workbook with one part changed, or added."""
    mixed = parts()
    mixed[name] = change(mixed.get(name, b""))
    return packed(mixed)


def before_root(text: str) -> Callable[[bytes], bytes]:
    """Return what puts a text between the declaration and the root of a part."""
    return lambda data: re.sub(rb"(<\?xml[^>]*\?>\s*)", lambda m: m[0] + text.encode(), data, count=1)


def formula(text: str) -> bytes:
    """Return the workbook with the first formula of a sheet replaced."""
    new = b"<f>" + text.replace("&", "&amp;").replace("<", "&lt;").encode() + b"</f>"
    return with_part(SHEET, lambda data: re.sub(rb"<f>[^<]+</f>", lambda _: new, data, count=1))


def rows(text: str) -> bytes:
    """Return the workbook with more rows behind those of a sheet."""
    return with_part(SHEET, lambda data: data.replace(b"</sheetData>", text.encode() + b"</sheetData>"))


def bomb(*, lies: bool) -> bytes:
    """Return the workbook with 400 MB of blanks in a part, whose size is told or lied about."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    block = b" " * 1_000_000
    stream = (packer.compress(block) + packer.flush(zlib.Z_FULL_FLUSH)) * 400 + packer.flush()
    mixed = parts()
    mark = b"0123456789" * 3000
    data = packed({**mixed, "xl/extra.xml": mark}, stored=frozenset({"xl/extra.xml"}))
    at = data.index(mark)
    head = data.rindex(b"PK\x03\x04", 0, at)
    size = 2048 if lies else 400_000_000
    entry = data.rindex(b"PK\x01\x02", 0, data.rindex(b"xl/extra.xml"))
    sizes = struct.pack("<H", 8), struct.pack("<3L", 0, len(stream), size)
    new = bytearray(data)
    new[entry + 10:entry + 12], new[entry + 16:entry + 28] = sizes
    new[head + 8:head + 10], new[head + 14:head + 26] = sizes
    new[at:at + len(mark)] = stream
    end = new.rindex(b"PK\x05\x06")
    (start,) = struct.unpack("<L", new[end + 16:end + 20])
    new[end + 16:end + 20] = struct.pack("<L", start + len(stream) - len(mark))
    return bytes(new)


def many_entries() -> bytes:
    """Return the workbook with 60,000 more parts."""
    out = io.BytesIO(packed(parts()))
    with zipfile.ZipFile(out, "a") as archive:
        for number in range(60_000):
            archive.writestr(zipfile.ZipInfo(f"junk/{number}"), b"")
    return out.getvalue()


def twice(name: str, other: str) -> bytes:
    """Return the workbook with a part of a second name that reads the same to some programs."""
    mask = "#" * len(other)
    data = packed({**parts(), mask: b"<x/>"})
    return data.replace(mask.encode(), other.encode())


def archives(depth: int) -> bytes:
    """Return archives in archives with a workbook in the innermost."""
    data, name = packed(parts()), "job.xlsx"
    for number in range(depth):
        data, name = packed({name: data}), f"{number}.zip"
    return data


def other_program(kind: str) -> bytes:
    """Return the container of an old or encrypted office file."""
    return b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600 + kind.encode("utf-16-le") + b"\x00" * 2000


def birth(**changes: object) -> bytes:
    """Return the workbook with another engine in its birth record."""
    part = f"xl/worksheets/sheet{len(base_of(0).plan.sheets) + 1}.xml"

    def change(data: bytes) -> bytes:
        text = json.dumps({"family": "inch", "left_out": [], "entries": [], "layout": changes})
        cells = re.findall(rb'<c r="B\d+"[^>]*t="(?:inlineStr|s)"[^>]*>', data)
        assert cells
        value = f'<is><t>{text.replace("<", "").replace(chr(34), "&quot;")}</t></is>'.encode()
        return re.sub(rb"(<c r=\"B5\"[^>]*?)(?: t=\"\w+\")?>.*?</c>",
                      lambda m: m[1] + b' t="inlineStr">' + value + b"</c>", data, count=1)

    return with_part(part, change)


def false_name() -> bytes:
    """Return the workbook with macros in a part that is called a picture."""
    called = b'<Override PartName="/xl/media/a.png"'
    kind = called + b' ContentType="application/vnd.ms-office.vbaProject"/></Types>'
    mixed = parts()
    mixed[TYPES] = mixed[TYPES].replace(b"</Types>", kind)
    return packed({**mixed, "xl/media/a.png": b"macros"})


def mail() -> bytes:
    """Return a mail with two thousand attachments."""
    message = EmailMessage()
    message["Subject"] = "\x1b[31mreadings"
    message.set_content("see there")
    for number in range(2000):
        message.add_attachment(b"x", maintype="application", subtype="zip", filename=f"../{number}.zip")
    return message.as_bytes()


def wide_rows() -> str:
    """Return a million cells."""
    return "".join(
        f'<row r="{number}">' + '<c t="n"><v>1</v></c>' * 500 + "</row>" for number in range(3000, 5000)
    )


KINDS = (
    Hostile("zip bomb: 400 MB of blanks in 0.4 MB", lambda: bomb(lies=False), "FILE05"),
    Hostile("zip bomb that says 2 KB", lambda: bomb(lies=True), "FILE05"),
    Hostile("archives packed nine deep", lambda: archives(9), "FILE05", "hostile.zip"),
    Hostile("60,000 entries", many_entries, "FILE05"),
    Hostile("a part named ../../escape.xml",
            lambda: with_part("../../escape.xml", lambda _: b"<x/>"), "FILE05"),
    Hostile("a part named C:\\escape.xml", lambda: with_part("C:\\escape.xml", lambda _: b"<x/>"), "FILE05"),
    Hostile("two parts of one name", lambda: twice(SHEET, SHEET), "FILE05"),
    Hostile("the same name in capitals", lambda: twice(SHEET, SHEET.upper()), "FILE05"),
    Hostile("entity expansion", lambda: with_part(SHEET, before_root(LAUGHS)), "FILE05"),
    Hostile("external entity", lambda: with_part(
        BOOK, before_root("<!DOCTYPE x [<!ENTITY a SYSTEM 'file:///etc/passwd'>]>")), "FILE05"),
    Hostile("dimension of the whole sheet", lambda: with_part(
        SHEET, lambda d: re.sub(rb'<dimension ref="[^"]*"', b'<dimension ref="A1:XFD1048576"', d)), ""),
    Hostile("a cell at XFD1048576",
            lambda: rows('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'), "FILE05"),
    Hostile("a sheet of a million cells", lambda: rows(wide_rows()), "FILE05"),
    Hostile("two million tags",
            lambda: with_part("xl/extra.xml", lambda _: b"<x>" + b"<y/>" * 2_000_000 + b"</x>"), "FILE05"),
    Hostile("markup 100,000 deep", lambda: with_part(
        SHEET, lambda d: d.replace(b"</worksheet>", b"<x>" * 100_000 + b"</x>" * 100_000 + b"</worksheet>")),
        "FILE02"),
    Hostile("a formula of 4,000 brackets", lambda: formula("(" * 4000 + "1" + ")" * 4000), "CELL02"),
    Hostile("a formula of 60,000 characters", lambda: formula("1+" * 30_000 + "1"), "FILE05"),
    Hostile("a formula that needs itself", lambda: formula("SUM(A1:ZZ20000)"), "CELL02"),
    Hostile("a formula of two thousand million letters", lambda: formula('REPT("x",2000000000)'), "CELL02"),
    Hostile("a formula that fetches", lambda: formula('WEBSERVICE("http://127.0.0.1:9/")'), "CELL02"),
    Hostile("a formula linked to another workbook", lambda: formula("'[other.xlsx]S'!A1"), "FILE04"),
    Hostile("a live data link", lambda: formula("cmd|' /C calc'!A0"), "FILE04"),
    Hostile("macros under a false name", false_name, "FILE04"),
    Hostile("a name that calls macros", lambda: with_part(
        BOOK, lambda d: d.replace(
            b"<definedName ", b'<definedName name="x_y" xlm="1">1</definedName><definedName ', 1)), "FILE04"),
    Hostile("encrypted", lambda: other_program("EncryptedPackage"), "FILE03"),
    Hostile("the old .xls kind", lambda: other_program("Workbook"), "FILE02"),
    Hostile("cut short", lambda: packed(parts())[:-5000], "FILE02"),
    Hostile("a part in UTF-16", lambda: with_part(SHEET, lambda d: d.decode().encode("utf-16")), "FILE05"),
    Hostile("a part in windows-1252", lambda: with_part(
        SHEET, lambda d: d.replace(b"UTF-8", b"windows-1252").replace(
            b"</worksheet>", b"<!--\xe9--></worksheet>")), "FILE05"),
    Hostile("another engine in the birth record", lambda: birth(kind="v", mains=10**9), "BIRTH03"),
    Hostile("an .ods of 16,384 columns and 1,048,576 rows", lambda: package(table(
        row(cell('table:number-columns-repeated="16384" office:value-type="float" office:value="1"', "1"),
            attributes='table:number-rows-repeated="1048576"'))), "FILE05", "hostile.ods"),
    Hostile("a mail of 2,000 attachments", mail, "FILE05", "hostile.eml"),
)
