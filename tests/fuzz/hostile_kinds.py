"""One file of every hostile or broken kind, made from a faultless workbook, and what must be said of it."""

from __future__ import annotations

import io
import json
import random
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
KINDS_OF_LINK = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
OFFICE = "application/vnd.openxmlformats-officedocument"
MACROS = "application/vnd.ms-office.vbaProject"
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


def laughing(data: bytes) -> bytes:
    """Return an OpenDocument file in which entities stand for entities."""
    mixed = unpacked(data)
    cells = mixed["content.xml"].replace(b"<table:table-cell", b"&h;<table:table-cell")
    mixed["content.xml"] = LAUGHS.encode() + cells
    return packed(mixed, stored=frozenset({"mimetype"}))


def shared(area: str) -> bytes:
    """Return the workbook with the first formula of a sheet shared over an area."""
    new = f'<f t="shared" si="0" ref="{area}">'.encode()
    return with_part(SHEET, lambda data: re.sub(rb"<f>", lambda _: new, data, count=1))


def inside(tag: str, text: str, part: str = SHEET) -> bytes:
    """Return the workbook with a text at the beginning of an element of a part."""
    return with_part(part, lambda data: re.sub(
        rb"<%b( [^>]*)?>" % tag.encode(), lambda found: found[0] + text.encode(), data, count=1))


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


def twice_named() -> bytes:
    """Return the workbook with a part whose own header has another name than the table of contents."""
    data = packed({**parts(), "xl/one.xml": b"<x/>"})
    return data.replace(b"xl/one.xml", b"xl/two.xml", 1)


def end_of(data: bytes) -> tuple[int, int]:
    """Return where the table of contents of an archive begins and where its end record does."""
    end = data.rindex(b"PK\x05\x06")
    return struct.unpack_from("<L", data, end + 16)[0], end


def hidden() -> bytes:
    """Return the workbook with a part that stands in no table of contents."""
    data = packed(parts())
    start, end = end_of(data)
    more = packed({SHEET: b"<x/>"})
    more = more[:end_of(more)[0]]
    return data[:start] + more + data[start:end + 16] + struct.pack("<LH", start + len(more), 0)


def overlapping() -> bytes:
    """Return the workbook with a part inside another: a little data that unpacks to much, if often enough."""
    inner = packed({"xl/inner.xml": b"<x/>"})
    start, end = end_of(inner)
    outer = inner[:start]
    data = packed({**parts(), "xl/outer.bin": outer}, stored=frozenset({"xl/outer.bin"}))
    entry = bytearray(inner[start:end])
    entry[42:46] = struct.pack("<L", data.index(outer))
    start, end = end_of(data)
    count, size = struct.unpack_from("<H", data, end + 10)[0] + 1, end - start + len(entry)
    record = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, count, count, size, start, 0)
    return data[:end] + bytes(entry) + record


def flagged(bit: int) -> bytes:
    """Return the workbook with a flag set at its first part, in both places."""
    data = bytearray(packed(parts()))
    start, _ = end_of(bytes(data))
    data[6] |= bit
    data[start + 8] |= bit
    return bytes(data)


def linked(kind: str, target: str, *, of: str = SHEET, outside: bool = True) -> bytes:
    """Return the workbook with one more relationship of a part."""
    folder, _, name = of.rpartition("/")
    mode = ' TargetMode="External"' if outside else ""
    one = f'<Relationship Id="rIdX" Type="{KINDS_OF_LINK}/{kind}" Target="{target}"{mode}/></Relationships>'
    return with_part(f"{folder}/_rels/{name}.rels", lambda data: (
        data or b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"/>'
    ).replace(b"/>", b"></Relationships>", not data).replace(b"</Relationships>", one.encode()))


def carrying(name: str, kind: str, data: bytes = b"<x/>") -> bytes:
    """Return the workbook with one more part, of a content type of its own."""
    mixed = parts()
    told = f'<Override PartName="/{name}" ContentType="{kind}"/></Types>'.encode()
    mixed[TYPES] = mixed[TYPES].replace(b"</Types>", told)
    return packed({**mixed, name: data})


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


def mail() -> bytes:
    """Return a mail with two thousand attachments."""
    message = EmailMessage()
    message["Subject"] = "\x1b[31mreadings"
    message.set_content("see there")
    for number in range(2000):
        message.add_attachment(b"x", maintype="application", subtype="zip", filename=f"../{number}.zip")
    return message.as_bytes()


def numbered(text: str, count: int) -> str:
    """Return a text many times, a number in each so that it cannot be packed to nothing."""
    return "".join(text % number for number in range(count))


def wide_rows(count: int) -> str:
    """Return so many rows of 500 cells."""
    return "".join(
        f'<row r="{number}">' + numbered("<c><v>%d</v></c>", 500) + "</row>"
        for number in range(3000, 3000 + count)
    )


def long_shared() -> bytes:
    """Return the workbook with a long formula that many cells share."""
    first = f'<f t="shared" si="77" ref="A3000:A19999">{"1+" * 4000}1</f>'
    return rows("".join(
        f'<row r="{n}"><c r="A{n}">{first if n == 3000 else other}</c></row>'
        for other in ('<f t="shared" si="77"/>',) for n in range(3000, 20_000)
    ))


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
    Hostile("a part of two names", twice_named, "FILE05"),
    Hostile("a part in no table of contents", hidden, "FILE05"),
    Hostile("a part inside another", overlapping, "FILE05"),
    Hostile("two workbooks one behind the other", lambda: packed(parts()) * 2, "FILE05"),
    Hostile("a part named /escape.xml", lambda: with_part("/escape.xml", lambda _: b"<x/>"), "FILE05"),
    Hostile("a part with a zero in its name", lambda: twice("xl/nul.xml", "xl/nul\0xml"), "FILE05"),
    Hostile("entity expansion", lambda: with_part(SHEET, before_root(LAUGHS)), "FILE05"),
    Hostile("external entity", lambda: with_part(
        BOOK, before_root("<!DOCTYPE x [<!ENTITY a SYSTEM 'file:///etc/passwd'>]>")), "FILE05"),
    Hostile("entity expansion in an .ods", lambda: laughing(package(table(row(cell())))), "FILE05",
            "hostile.ods"),
    Hostile("dimension of the whole sheet", lambda: with_part(
        SHEET, lambda d: re.sub(rb'<dimension ref="[^"]*"', b'<dimension ref="A1:XFD1048576"', d)), ""),
    Hostile("a cell at XFD1048576",
            lambda: rows('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'), "FILE05"),
    Hostile("a sheet of a million cells", lambda: rows(wide_rows(2000)), "FILE05"),
    Hostile("a sheet of 250,000 cells", lambda: rows(wide_rows(500)), "FILE05"),
    Hostile("a merged area of the whole sheet",
            lambda: inside("mergeCells", '<mergeCell ref="A1:XFD1048576"/>'), "FILE05"),
    Hostile("an entry rule for the whole sheet",
            lambda: inside("dataValidations", '<dataValidation sqref="A1:XFD1048576"/>'), ""),
    Hostile("a formula shared, as it says, by a million cells", lambda: shared("A1:J100000"), ""),
    Hostile("a formula of 8,000 letters shared by 17,000 cells", long_shared, "FILE05"),
    Hostile("a text of ten million letters", lambda: rows(
        f'<row r="3000"><c r="A3000" t="inlineStr"><is><t>{random.Random(0).randbytes(5_000_000).hex()}'
        "</t></is></c></row>"), "FILE05"),
    Hostile("two million tags",
            lambda: with_part("xl/extra.xml", lambda _: f"<x>{numbered('<y%d/>', 2_000_000)}</x>".encode()),
            "FILE05"),
    Hostile("markup 100,000 deep", lambda: with_part(
        SHEET, lambda d: d.replace(b"</worksheet>", b"<x>" * 100_000 + b"</x>" * 100_000 + b"</worksheet>")),
        "FILE02"),
    Hostile("a formula of 4,000 brackets", lambda: formula("(" * 4000 + "1" + ")" * 4000), "CELL02"),
    Hostile("a formula of 60,000 characters", lambda: formula("1+" * 30_000 + "1"), "FILE05"),
    Hostile("a formula that needs itself", lambda: formula("SUM(A1:ZZ20000)"), "CELL02"),
    Hostile("a formula of two thousand million letters", lambda: formula('REPT("x",2000000000)'), "CELL02"),
    Hostile("two formulas beside the sheet that need each other",
            lambda: rows('<row r="900"><c r="A900"><f>B900</f></c><c r="B900"><f>A900</f></c></row>'), ""),
    Hostile("a name that stands for itself",
            lambda: inside("definedNames", '<definedName name="x_y">x_y+1</definedName>', BOOK), ""),
    Hostile("a formula that fetches", lambda: formula('WEBSERVICE("http://127.0.0.1:9/")'), "CELL02"),
    Hostile("a formula linked to another workbook", lambda: formula("'[other.xlsx]S'!A1"), "FILE04"),
    Hostile("a live data link", lambda: formula("cmd|' /C calc'!A0"), "FILE04"),
    Hostile("a link in an entry rule", lambda: inside("dataValidations",
        '<dataValidation sqref="A1" type="list"><formula1>[1]S!A1</formula1></dataValidation>'), "FILE04"),
    Hostile("a part that links to another workbook", lambda: carrying(
        "xl/externalLinks/externalLink1.xml", f"{OFFICE}.spreadsheetml.externalLink+xml"), "FILE04"),
    Hostile("a live data link in a part", lambda: carrying("xl/externalLinks/externalLink1.xml",
        f"{OFFICE}.spreadsheetml.externalLink+xml",
        f'<externalLink xmlns="{MAIN}"><ddeLink ddeService="cmd" ddeTopic="/C calc"/></externalLink>'
        .encode()), "FILE04"),
    Hostile("a picture that is fetched", lambda: linked("image", "//198.51.100.1/a.png"), "FILE04"),
    Hostile("outside data", lambda: carrying(
        "xl/connections.xml", f"{OFFICE}.spreadsheetml.connections+xml"), "FILE04"),
    Hostile("macros", lambda: carrying("xl/vbaProject.bin", MACROS, b"macros"), "FILE04"),
    Hostile("macros under a false name", lambda: carrying("xl/media/a.png", MACROS, b"macros"), "FILE04"),
    Hostile("a workbook with macros that is called .xlsx", lambda: with_part(TYPES, lambda d: d.replace(
        f"{OFFICE}.spreadsheetml.sheet.main+xml".encode(),
        b"application/vnd.ms-excel.sheet.macroEnabled.main+xml")), "FILE04"),
    Hostile("a sheet of macros", lambda: carrying(
        "xl/macrosheets/sheet1.xml", "application/vnd.ms-excel.macrosheet+xml"), "FILE04"),
    Hostile("a program in the workbook", lambda: linked(
        "oleObject", "../embeddings/oleObject1.bin", outside=False), "FILE04"),
    Hostile("a name that calls macros", lambda: with_part(
        BOOK, lambda d: d.replace(
            b"<definedName ", b'<definedName name="x_y" xlm="1">1</definedName><definedName ', 1)), "FILE04"),
    Hostile("encrypted", lambda: other_program("EncryptedPackage"), "FILE03"),
    Hostile("one part encrypted", lambda: flagged(1), "FILE03"),
    Hostile("the old .xls kind", lambda: other_program("Workbook"), "FILE02"),
    Hostile("the oldest .xls kind", lambda: b"\x09\x08\x10\x00" + b"\x00" * 600, "FILE02"),
    Hostile("the binary .xlsb kind", lambda: packed({
        TYPES: parts()[TYPES], "xl/workbook.bin": b"\x83\x01\x00"}), "FILE02"),
    Hostile("a web page that is called .xlsx", lambda: b"<html><table><td>1</td></table></html>",
            "FILE02"),
    Hostile("cut short", lambda: packed(parts())[:-5000], "FILE02"),
    Hostile("a part in UTF-16", lambda: with_part(SHEET, lambda d: d.decode().encode("utf-16")), "FILE05"),
    Hostile("a part in UTF-32", lambda: with_part(SHEET, lambda d: d.decode().encode("utf-32")), "FILE05"),
    Hostile("a part that says UTF-7",
            lambda: with_part(SHEET, lambda d: d.replace(b"UTF-8", b"UTF-7", 1)), "FILE05"),
    Hostile("a part that says UTF-8 and is not", lambda: with_part(
        SHEET, lambda d: d.replace(b"</worksheet>", b"<!--\xe9--></worksheet>")), "FILE05"),
    Hostile("a part in windows-1252", lambda: with_part(
        SHEET, lambda d: d.replace(b"UTF-8", b"windows-1252").replace(
            b"</worksheet>", b"<!--\xe9--></worksheet>")), "FILE05"),
    Hostile("another engine in the birth record", lambda: birth(kind="v", mains=10**9), "BIRTH03"),
    Hostile("an .ods of 16,384 columns and 1,048,576 rows", lambda: package(table(
        row(cell('table:number-columns-repeated="16384" office:value-type="float" office:value="1"', "1"),
            attributes='table:number-rows-repeated="1048576"'))), "FILE05", "hostile.ods"),
    Hostile("a mail of 2,000 attachments", mail, "FILE05", "hostile.eml"),
)
