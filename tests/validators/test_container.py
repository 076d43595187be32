"""The guard refuses every file that is not a plain, unambiguous workbook, and says what it is."""

import hashlib
import io
import os
import pickle
import re
import struct
import subprocess
import sys
import textwrap
import tracemalloc
import warnings
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from validators.container import Limits, guard, open_container
from validators.errors import UnreadableFile, quoted

SHEET = "xl/worksheets/sheet1.xml"
RELATIONSHIPS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
OLE = bytes.fromhex("d0cf11e0a1b11ae1") + bytes(504)
CHECKOUT = Path(__file__).parents[2]


@dataclass
class Part:
    """A zip member whose descriptions may lie: None means the truth."""

    name: str
    content: bytes
    packed: bytes | None = None
    method: int = zipfile.ZIP_DEFLATED
    flags: int = 0
    size: int | None = None
    crc: int | None = None
    listed: bool = True
    local_name: str | None = None
    local_size: int | None = None


def archive(parts):
    """Write a zip archive by hand, so that each field can be wrong on purpose."""
    body, directory, count = b"", b"", 0
    for part in parts:
        packed = part.packed
        if packed is None:
            packer = zlib.compressobj(9, zlib.DEFLATED, -15)
            packed = packer.compress(part.content) + packer.flush()
            packed = packed if part.method == zipfile.ZIP_DEFLATED else part.content
        size = len(part.content) if part.size is None else part.size
        crc = zlib.crc32(part.content) if part.crc is None else part.crc
        name = part.name.encode()
        local_name = name if part.local_name is None else part.local_name.encode()
        local_size = size if part.local_size is None else part.local_size
        head = (20, part.flags, part.method, 0, 33, crc, len(packed))
        offset = len(body)
        body += struct.pack("<4s5H3L2H", b"PK\3\4", *head, local_size, len(local_name), 0)
        body += local_name + packed
        if part.listed:
            count += 1
            directory += struct.pack("<4s6H2L", b"PK\1\2", 20, *head)
            directory += struct.pack("<L5H2L", size, len(name), 0, 0, 0, 0, 0, offset) + name
    end = struct.pack("<4s4H2LH", b"PK\5\6", 0, 0, count, count, len(directory), len(body), 0)
    return body + directory + end


@pytest.fixture(scope="module")
def good():
    """Bytes of a small honest workbook."""
    target = io.BytesIO()
    with xlsxwriter.Workbook(target, {"in_memory": True}) as book:
        sheet = book.add_worksheet("Bores")
        sheet.write("A1", "Bore")
        sheet.write("B1", 86.012)
        sheet.write_formula("C1", "=B1*2", None, 172.024)
        sheet.write_url("A3", "https://example.org/manual", string="manual")
    return target.getvalue()


@pytest.fixture
def parts(good):
    """Members of the honest workbook, to be changed and written again by `archive`."""
    with zipfile.ZipFile(io.BytesIO(good)) as source:
        return [Part(name, source.read(name)) for name in source.namelist()]


def change(parts, name, old, new):
    part = next(part for part in parts if part.name == name)
    assert old in part.content
    part.content = part.content.replace(old, new)


def refused(data, limits=None):
    with pytest.raises(UnreadableFile) as caught:
        guard(data, limits)
    fault = caught.value
    assert fault.found
    assert fault.expected
    assert fault.todo.endswith(".")
    return fault


# ---- honest files ---------------------------------------------------------------------------


def test_an_honest_workbook_passes(good, tmp_path):
    """The container has the digest of the bytes and the XML parts."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(good)
    container = open_container(path)
    assert container.digest == hashlib.sha256(good).hexdigest()
    assert b"<sheetData>" in container.parts[SHEET]
    assert path.read_bytes() == good


def test_an_archive_written_by_hand_passes(parts):
    """The tests' own writer makes nothing that the guard dislikes."""
    assert set(guard(archive(parts)).parts) == {part.name.lower() for part in parts}


@pytest.mark.parametrize("kind", ["openpyxl", "zip64", "streamed", "stored", "folders", "comment"])
def test_unusual_but_honest_archives_pass(parts, kind, tmp_path):
    """Large-file headers, sizes after the data, stored parts, folder entries: all are allowed."""
    path = tmp_path / "job.xlsx"
    if kind == "openpyxl":
        openpyxl.Workbook().save(path)
    else:
        target = Unseekable(path.open("wb")) if kind == "streamed" else path.open("wb")
        method = zipfile.ZIP_STORED if kind == "stored" else zipfile.ZIP_DEFLATED
        with target, zipfile.ZipFile(target, "w", method) as out:
            if kind == "folders":
                out.writestr("xl/", b"")
            if kind == "comment":
                out.comment = b"made by hand"
            for part in parts:
                with out.open(part.name, "w", force_zip64=kind == "zip64") as member:
                    member.write(part.content)
    assert SHEET in open_container(path).parts


class Unseekable(io.RawIOBase):
    """A target like a pipe: zip members get their sizes after the data."""

    def __init__(self, target):
        self.target = target

    def writable(self):
        return True

    def write(self, data):
        return self.target.write(data)

    def close(self):
        self.target.close()
        super().close()


def test_the_exception_travels_between_processes():
    """A worker's refusal arrives whole."""
    fault = UnreadableFile("FILE02", "a PDF document", "a workbook", "Send the workbook.")
    again = pickle.loads(pickle.dumps(fault))
    assert (again.code, again.found, again.expected, again.todo) == fault.args
    assert str(again) == str(fault)


def test_names_from_the_file_cannot_disturb_a_message():
    """Control and direction marks are shown as escapes, long names are cut."""
    assert quoted("a\x1b[2J\u202eb\n") == "'a\\x1b[2J\\u202eb\\n'"
    assert len(quoted("x" * 10_000)) < 70


# ---- FILE01 cannot be opened ------------------------------------------------------------------


def test_a_missing_file(tmp_path):
    """FILE01."""
    with pytest.raises(UnreadableFile, match=r"FILE01.*no file of this name"):
        open_container(tmp_path / "absent.xlsx")


def test_a_folder(tmp_path):
    """FILE01."""
    with pytest.raises(UnreadableFile, match=r"FILE01.*a folder"):
        open_container(tmp_path)


def test_an_empty_file(tmp_path):
    """FILE01."""
    (tmp_path / "empty.xlsx").touch()
    with pytest.raises(UnreadableFile, match=r"FILE01.*an empty file"):
        open_container(tmp_path / "empty.xlsx")


def test_a_file_without_the_right_to_read_it(good, tmp_path, monkeypatch):
    """FILE01, also where tests run with all rights."""
    path = tmp_path / "job.xlsx"
    path.write_bytes(good)

    def deny(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", deny)
    with pytest.raises(UnreadableFile, match=r"FILE01.*may not be read"):
        open_container(path)


def test_a_pipe_is_not_waited_for(tmp_path):
    """FILE01, at once."""
    os.mkfifo(tmp_path / "pipe.xlsx")
    with pytest.raises(UnreadableFile, match=r"FILE01.*not a file"):
        open_container(tmp_path / "pipe.xlsx")


@pytest.mark.parametrize("name", ["a\0b.xlsx", "x" * 5000 + ".xlsx"])
def test_an_impossible_name(tmp_path, name):
    """FILE01."""
    with pytest.raises(UnreadableFile, match="FILE01"):
        open_container(f"{tmp_path}/{name}")


# ---- FILE02 not a workbook --------------------------------------------------------------------


def utf16(text):
    return text.encode("utf-16-le")


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (OLE + utf16("Root Entry") + utf16("Workbook"), r"old \.xls kind"),
        (OLE + utf16("WordDocument"), "old office kind"),
        (OLE + utf16("__substg1.0_"), r"saved mail \(\.msg\)"),
        (b"\x09\x08\x10\x00\x00\x06\x05\x00" + bytes(100), r"old \.xls kind"),
        (b"%PDF-1.7\n%\xe2\xe3", "PDF"),
        (b"\xff\xd8\xff\xe0JFIF", r"\.jpg"),
        (b"\x89PNG\r\n\x1a\n", r"\.png"),
        (b"Rar!\x1a\x07\x01", r"\.rar"),
        (b"<!DOCTYPE html>\n<html><body>Sign in</body></html>", "web page"),
        (b"\xef\xbb\xbf  <table><tr><td>86.01</td></tr></table>", "web page"),
        (b'<?xml version="1.0"?><?mso-application?><Workbook xmlns="'
         b'urn:schemas-microsoft-com:office:spreadsheet"/>', r"\.xml kind"),
        (b"MIME-Version: 1.0\nContent-Type: multipart/mixed", "saved mail"),
        (b"cylinder,top,middle\n1,86.01,86.02\n", r"\.csv"),
        (b"Zylinder;oben;B\xfcchse\n1;86,01;86,02\n", r"\.csv"),
        (b"cylinder\ttop\n1\t86.01\n", r"\.csv"),
        ("cylinder\ttop\n1\t86.01\n".encode("utf-16"), "UTF-16"),
        (b"Sorry, see the other file.\nRegards\n", "plain text"),
        (bytes(range(256)) * 10, "no kind known"),
        (b"PK\5\6" + bytes(18), "empty zip archive"),
    ],
)  # fmt: skip
def test_another_kind_of_file_is_said_by_name(data, found):
    """FILE02 with what it is, so that the sender knows which file went out by mistake."""
    fault = refused(data)
    assert fault.code == "FILE02"
    assert re.search(found, fault.found)


@pytest.mark.parametrize(
    ("members", "found"),
    [
        (
            {"mimetype": b"application/vnd.oasis.opendocument.spreadsheet", "content.xml": b""},
            ".ods",
        ),
        ({"mimetype": b"application/vnd.oasis.opendocument.text", "content.xml": b""}, ".odt"),
        ({"[Content_Types].xml": b"", "word/document.xml": b""}, ".docx"),
        ({"[Content_Types].xml": b"", "ppt/presentation.xml": b""}, ".pptx"),
        ({"[Content_Types].xml": b"", "xl/workbook.bin": b""}, ".xlsb"),
        ({"Index/Document.iwa": b""}, ".numbers"),
        ({"sheets/job-1.xlsx": b"PK"}, "archive with spreadsheets"),
        ({"readme.txt": b"hello"}, "without a workbook"),
        ({"xl/workbook.xml": b"<workbook/>"}, "without a workbook"),
    ],
)
def test_another_kind_of_archive_is_said_by_name(members, found):
    """FILE02."""
    data = archive([Part(n, c, method=zipfile.ZIP_STORED) for n, c in members.items()])
    fault = refused(data)
    assert fault.code == "FILE02"
    assert found in fault.found


def test_an_open_document_says_what_to_do():
    """The sender is told to save as .xlsx."""
    kind = b"application/vnd.oasis.opendocument.spreadsheet"
    fault = refused(archive([Part("mimetype", kind, method=zipfile.ZIP_STORED)]))
    assert "save it as an .xlsx workbook" in fault.todo


@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.95, 0.999])
def test_a_truncated_workbook(good, share):
    """FILE02 wherever the transfer stopped."""
    fault = refused(good[: int(len(good) * share)])
    assert fault.code == "FILE02"
    assert "damaged" in fault.found


def test_a_flipped_bit_in_a_packed_part(parts):
    """FILE02: the checksum tells."""
    data = bytearray(archive(parts))
    data[60] ^= 0x10
    assert refused(bytes(data)).code == "FILE02"


def test_a_wrong_checksum(parts):
    """FILE02."""
    parts[0].crc = 1
    assert "not as it was written" in refused(archive(parts)).found


def test_a_part_shorter_than_it_says(parts):
    """FILE02."""
    parts[0].size = len(parts[0].content) + 10
    assert refused(archive(parts)).code == "FILE02"


def test_content_types_that_are_not_well_formed(parts):
    """FILE02."""
    change(parts, "[Content_Types].xml", b"</Types>", b"</Typ>")
    assert refused(archive(parts)).code == "FILE02"


# ---- FILE03 encrypted -------------------------------------------------------------------------


def test_a_workbook_with_a_password_to_open():
    """FILE03: an office container with the encrypted package in it."""
    fault = refused(OLE + utf16("EncryptionInfo") + utf16("EncryptedPackage"))
    assert fault.code == "FILE03"
    assert "password" in fault.found


@pytest.mark.parametrize("flags", [0x1, 0x41])
def test_an_encrypted_zip_member(parts, flags):
    """FILE03."""
    parts[2].flags = flags
    assert refused(archive(parts)).code == "FILE03"


# ---- FILE04 carries macros or links -----------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("xl/vbaProject.bin", "macros"),
        ("XL/VBAPROJECT.BIN", "macros"),
        ("xl/macrosheets/sheet1.xml", "macros"),
        ("xl/externalLinks/externalLink1.xml", "links to other workbooks"),
        ("xl/embeddings/oleObject1.bin", "embedded objects"),
        ("xl/activeX/activeX1.xml", "active controls"),
        ("xl/connections.xml", "connections"),
        ("xl/queryTables/queryTable1.xml", "queries"),
        ("xl/volatileDependencies.xml", "live data"),
    ],
)
def test_a_part_that_runs_or_links(parts, name, found):
    """FILE04 with what it is."""
    fault = refused(archive([*parts, Part(name, b"<a/>")]))
    assert fault.code == "FILE04"
    assert found in fault.found


def test_macros_under_an_innocent_name(parts):
    """FILE04: the content type tells."""
    change(
        parts,
        "[Content_Types].xml",
        b"</Types>",
        b'<Override PartName="/xl/notes.bin" ContentType="application/vnd.ms-office.vbaProject"/>'
        b"</Types>",
    )
    assert "macros" in refused(archive([*parts, Part("xl/notes.bin", b"x")])).found


def test_a_macro_workbook_renamed(parts):
    """FILE04, even when the macros themselves are gone."""
    change(
        parts,
        "[Content_Types].xml",
        b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml",
        b"application/vnd.ms-excel.sheet.macroEnabled.main+xml",
    )
    assert "macros" in refused(archive(parts)).found


@pytest.mark.parametrize(
    ("kind", "found"),
    [
        ("externalLink", "links to other workbooks"),
        ("oleObject", "embedded objects"),
        ("package", "embedded objects"),
        ("control", "active controls"),
        ("connections", "connections"),
        ("vbaProject", "macros"),
    ],
)
def test_a_reference_that_runs_or_links_under_an_innocent_name(parts, kind, found):
    """FILE04: the type of the reference tells."""
    new = f'<Relationship Id="z" Type="{RELATIONSHIPS}/{kind}" Target="a.xml"/></Relationships>'
    change(parts, "xl/_rels/workbook.xml.rels", b"</Relationships>", new.encode())
    fault = refused(archive(parts))
    assert fault.code == "FILE04"
    assert found in fault.found


@pytest.mark.parametrize("mode", ["External", "&#69;xternal", "external"])
def test_a_picture_fetched_from_elsewhere(parts, mode):
    """FILE04, however the word is spelt; a hyperlink, which nobody follows unasked, is allowed."""
    new = (
        f'<Relationship Id="z" Type="{RELATIONSHIPS}/image" TargetMode="{mode}" '
        'Target="https://example.org/seen.png"/></Relationships>'
    )
    change(parts, "xl/_rels/workbook.xml.rels", b"</Relationships>", new.encode())
    fault = refused(archive(parts))
    assert fault.code == "FILE04"
    assert "https://example.org/seen.png" in fault.found


def test_all_that_is_carried_is_said_at_once(parts):
    """One mail to the sender, not three."""
    more = [Part("xl/vbaProject.bin", b"x"), Part("xl/externalLinks/a.xml", b"<a/>")]
    found = refused(archive([*parts, *more])).found
    assert "macros" in found
    assert "links to other workbooks" in found


# ---- FILE05 unsafe structure ------------------------------------------------------------------


def blanks(count):
    """Return a deflate stream of so many megabytes of blanks, and its checksum."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    block = b" " * 1_000_000
    piece = packer.compress(block) + packer.flush(zlib.Z_FULL_FLUSH)
    crc = 0
    for _ in range(count):
        crc = zlib.crc32(block, crc)
    return piece * count + packer.flush(), crc


@pytest.fixture(scope="module")
def bomb_stream():
    return blanks(500)


@pytest.mark.parametrize("lie", [False, True], ids=["declared", "declared as 2 KB"])
def test_a_bomb_costs_next_to_nothing(parts, bomb_stream, lie, tmp_path):
    """FILE05 within 60 MB of memory and a second, whether the sizes are true or lies."""
    stream, crc = bomb_stream
    sheet = next(part for part in parts if part.name == SHEET)
    sheet.packed, sheet.crc = stream, crc
    sheet.size = 2048 if lie else 500_000_000
    path = tmp_path / "bomb.xlsx"
    path.write_bytes(archive(parts))
    assert path.stat().st_size < 1_000_000

    script = f"""
        import resource
        from validators.container import open_container
        from validators.errors import UnreadableFile
        held = int(open("/proc/self/statm").read().split()[0]) * resource.getpagesize()
        resource.setrlimit(resource.RLIMIT_AS, (held + 60_000_000, held + 60_000_000))
        try:
            open_container({str(path)!r})
        except UnreadableFile as fault:
            print(fault.code)
    """
    ran = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(script)],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert ran.stdout.split() == ["FILE05"]

    tracemalloc.start()
    refused(path.read_bytes())
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 60_000_000


def test_a_bomb_within_the_size_limits_is_known_by_its_ratio(parts):
    """FILE05: no honest part packs a hundredfold."""
    stream, crc = blanks(20)
    part = Part("xl/media/a.xml", b"", packed=stream, size=20_000_000, crc=crc)
    assert "times smaller" in refused(archive([*parts, part])).found


def test_parts_that_are_too_large_together(parts):
    """FILE05, also when each alone is not."""
    noise = os.urandom(60_000)
    more = [Part(f"xl/media/{i}.png", noise, method=zipfile.ZIP_STORED) for i in range(4)]
    data = archive([*parts, *more])
    guard(data, Limits(total_bytes=300_000))
    assert "all parts together" in refused(data, Limits(total_bytes=200_000)).found
    assert "unpacked" in refused(data, Limits(part_bytes=50_000)).found


def test_a_file_that_is_too_large(parts, tmp_path):
    """FILE05, and not much more than allowed is read."""
    noise = Part("xl/media/a.png", os.urandom(300_000), method=zipfile.ZIP_STORED)
    path = tmp_path / "large.xlsx"
    path.write_bytes(archive([*parts, noise]))
    with pytest.raises(UnreadableFile, match=r"FILE05.*a very large file"):
        open_container(path, Limits(file_bytes=200_000))


def test_too_many_parts(parts):
    """FILE05 before the table of contents is read."""
    more = [Part(f"xl/media/{i}.png", b"", method=zipfile.ZIP_STORED) for i in range(3000)]
    assert "more than 300 parts" in refused(archive([*parts, *more])).found


@pytest.mark.parametrize("name", [SHEET, "XL/Worksheets/Sheet1.xml", "xl/worksheets/sheet1.XML"])
def test_two_parts_of_one_name(parts, name):
    """FILE05, also when only the capitals differ."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        fault = refused(archive([*parts, Part(name, b"<a/>")]))
    assert fault.code == "FILE05"
    assert "same name" in fault.found


@pytest.mark.parametrize(
    "name",
    ["../evil.xml", "xl/../../evil.xml", "/etc/passwd", "xl\\sheet.xml", "C:/evil.xml", "a\0b.xml",
     "xl//a.xml", "xl/./a.xml", "a\nb.xml", ".."],
)  # fmt: skip
def test_names_that_lead_elsewhere(parts, name):
    """FILE05."""
    fault = refused(archive([*parts, Part(name, b"<a/>")]))
    assert fault.code == "FILE05"
    assert "leads out" in fault.found


@pytest.mark.parametrize("target", ["../../../evil.xml", "/../evil.xml"])
def test_references_that_lead_out(parts, target):
    """FILE05."""
    new = f'<Relationship Id="z" Type="a/theme" Target="{target}"/></Relationships>'
    change(parts, "xl/_rels/workbook.xml.rels", b"</Relationships>", new.encode())
    assert "leads out" in refused(archive(parts)).found


@pytest.mark.parametrize(("old", "new"), [
    ("xl/worksheets/", "XL/worksheets/"), ("worksheets/", "WORKSHEETS/"),
])
def test_names_in_other_capitals(parts, old, new):
    """FILE05: a part that some programs find and others do not."""
    for part in parts:
        part.name = part.name.replace(old, new) if part.name.endswith(f"{old}sheet1.xml") else part.name
    assert "spelt in two ways" in refused(archive(parts)).found


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA, 9, 99])
def test_unusual_compression(parts, method):
    """FILE05: other readers would not open it."""
    parts[3].method = method
    assert "compression" in refused(archive(parts)).found


DOCTYPE = b'<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'


@pytest.mark.parametrize(
    "doctype",
    [DOCTYPE, b'<!DOCTYPE w [<!ENTITY x SYSTEM "file:///etc/passwd">]>', b"<!doctype w>"],
    ids=["bomb", "external", "lower case"],
)
@pytest.mark.parametrize("name", [SHEET, "xl/workbook.xml", "docProps/core.xml"])
def test_entities(parts, name, doctype):
    """FILE05 in any part."""
    change(parts, name, b"?>", b"?>" + doctype)
    fault = refused(archive(parts))
    assert fault.code == "FILE05"
    assert "document type" in fault.found


def recoded(part, encoding, declared):
    text = part.content.decode()
    begin = text.index("?>") + 2
    part.content = f'<?xml version="1.0" encoding="{declared}"?>{text[begin:]}'.encode(encoding)


@pytest.mark.parametrize(
    ("encoding", "declared"),
    [
        ("utf-16", "UTF-16"),
        ("utf-16-le", "UTF-16"),
        ("utf-32", "UTF-32"),
        ("cp500", "cp500"),
        ("windows-1252", "windows-1252"),
        ("utf-8", "windows-1252"),
        ("utf-7", "utf-7"),
    ],
)
def test_unusual_encodings(parts, encoding, declared):
    """FILE05: two readers would see two workbooks, or one of them nothing."""
    sheet = next(part for part in parts if part.name == SHEET)
    recoded(sheet, encoding, declared)
    assert refused(archive(parts)).code == "FILE05"


def test_bytes_that_are_not_the_declared_encoding(parts):
    """FILE05."""
    change(parts, "xl/sharedStrings.xml", b"Bore", b"B\xfcchse")
    assert "UTF-8" in refused(archive(parts)).found


def test_an_encoding_declared_far_away(parts):
    """FILE05: blanks cannot push it out of sight."""
    change(parts, SHEET, b'<?xml version="1.0"', b'<?xml version="1.0"' + b" " * 2000)
    assert "encoding" in refused(archive(parts)).found


def test_a_part_larger_than_it_says(parts):
    """FILE05."""
    parts[1].size = len(parts[1].content) - 5
    parts[1].crc = zlib.crc32(parts[1].content[:-5])
    assert "larger than it says" in refused(archive(parts)).found


def test_a_part_with_two_sizes(parts):
    """FILE05: its own header and the table of contents differ."""
    parts[1].local_size = 17
    assert "two different sizes" in refused(archive(parts)).found


def test_a_part_with_two_names(parts):
    """FILE05."""
    parts[1].local_name = "xl/other.xml"
    assert "two different ways" in refused(archive(parts)).found


def test_a_part_that_is_not_listed(parts):
    """FILE05: a reader that goes from the front would see it."""
    hidden = Part(SHEET, b"<worksheet/>", listed=False)
    assert "hidden part" in refused(archive([hidden, *parts])).found
    assert "hidden part" in refused(archive([*parts, hidden])).found


def test_parts_that_overlap(parts):
    """FILE05: the same packed bytes serve twice."""
    inner = archive([Part("xl/media/b.png", b"12345", method=zipfile.ZIP_STORED)])
    header = inner[: inner.index(b"PK\1\2")]
    entry = inner[inner.index(b"PK\1\2") : inner.index(b"PK\5\6")]
    outer = archive([*parts, Part("xl/media/a.png", header, method=zipfile.ZIP_STORED)])
    place = outer.index(header)
    cut = outer.index(b"PK\5\6")
    entry = entry[:42] + struct.pack("<L", place) + entry[46:]
    end = bytearray(outer[cut:])
    count, size = len(parts) + 2, struct.unpack_from("<L", end, 12)[0] + len(entry)
    struct.pack_into("<2HL", end, 8, count, count, size)
    assert "overlap" in refused(outer[:cut] + entry + bytes(end)).found


@pytest.mark.parametrize("junk", [b"\0" * 100, b"\x7fELF\0\0"])
def test_junk_before_the_archive(good, junk):
    """FILE05."""
    assert "before the beginning" in refused(junk + good).found


def test_junk_after_the_archive(good):
    """FILE05."""
    assert "after the end" in refused(good + b"\r\n<script>").found


def test_two_archives_in_one_file(good):
    """FILE05: programs differ in which one they open."""
    assert refused(good + good).code == "FILE05"


def test_two_workbook_parts(parts):
    """FILE05: some programs go by content type, some by reference."""
    kind = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
    new = b'<Override PartName="/xl/second.xml" ContentType="' + kind + b'"/></Types>'
    change(parts, "[Content_Types].xml", b"</Types>", new)
    assert refused(archive([*parts, Part("xl/second.xml", b"<a/>")])).code == "FILE05"


@pytest.mark.parametrize("flood", [b"<a/>" * 1_600_000, b'<a b=""/>' * 1_600_000])
def test_a_flood_of_markup_is_not_parsed(parts, flood):
    """FILE05: tags and attributes are counted first; parsed, a tag takes fifty times its bytes."""
    change(parts, SHEET, b"<sheetData>", flood + b"<sheetData>")
    tracemalloc.start()
    fault = refused(archive(parts), Limits(ratio=10_000))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert "far too many" in fault.found
    assert peak < 60_000_000


def test_any_single_byte_may_be_wrong(parts):
    """Whatever byte of the file's frame is changed, the answer is a container or a refusal."""
    data = archive(parts)
    directory = data.index(b"PK\1\2")
    outcomes = set()
    for place in [*range(60), *range(directory, len(data))]:
        for value in (0, 0x41, 0xFF):
            spoilt = bytearray(data)
            spoilt[place] = value
            try:
                guard(bytes(spoilt))
                outcomes.add("passed")
            except UnreadableFile as fault:
                outcomes.add(fault.code)
    assert outcomes >= {"passed", "FILE02", "FILE03", "FILE05"}
