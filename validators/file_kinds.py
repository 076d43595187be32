"""What a file is when it is not an .xlsx workbook, told by its first bytes or its members."""

from __future__ import annotations

import re
from collections.abc import Iterable

from validators.errors import UnreadableFile

ZIP_START = b"PK\x03\x04"
ZIP_END = b"PK\x05\x06"
OLE_START = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
HEAD = 4096
CONTROL = re.compile(rb"[\x00-\x08\x0b\x0e-\x1f]")
SEPARATORS = (b",", b";", b"\t")
EXPECTED = "a workbook saved as .xlsx"
AS_SAVED = "a workbook as a spreadsheet program saves it"
SAVE_AS = "Open it in your spreadsheet program, save it as an .xlsx workbook and send that file."
SEND_WORKBOOK = "Send the .xlsx workbook itself."
SAVE_ANEW = "Open it in your spreadsheet program, save it again as .xlsx and send that copy."
TAKE_OUT = "Take out what was added to the workbook as it was sent, and send that copy."
SEND_AGAIN = "Save it once more in your spreadsheet program and send that copy."

SIGNATURES = (
    (ZIP_END, "an empty zip archive", SEND_WORKBOOK),
    (b"%PDF-", "a PDF document", SEND_WORKBOOK),
    (b"\x89PNG", "a picture (.png)", SEND_WORKBOOK),
    (b"\xff\xd8\xff", "a picture (.jpg)", SEND_WORKBOOK),
    (b"{\\rtf", "a text document (.rtf)", SEND_WORKBOOK),
    (b"\x1f\x8b", "a compressed file (.gz)", "Unpack it and send the .xlsx workbook inside."),
    (b"7z\xbc\xaf\x27\x1c", "an archive (.7z)", "Unpack it and send the .xlsx workbook inside."),
    (b"Rar!\x1a\x07", "an archive (.rar)", "Unpack it and send the .xlsx workbook inside."),
    (b"\x09\x08\x10\x00", "a workbook of the old .xls kind", SAVE_AS),
    (b"\x09\x08\x08\x00", "a workbook of the old .xls kind", SAVE_AS),
    (b"\x09\x04\x06\x00", "a workbook of the old .xls kind", SAVE_AS),
    (b"\xff\xfe", "a table saved as text in UTF-16", SAVE_AS),
    (b"\xfe\xff", "a table saved as text in UTF-16", SAVE_AS),
)
PHRASES = (
    (b"urn:schemas-microsoft-com:office:spreadsheet", "a spreadsheet of the .xml kind", SAVE_AS),
    (b"urn:oasis:names:tc:opendocument", "a flat OpenDocument file (.fods)", SAVE_AS),
    (b"mime-version:", "a saved mail or web archive", "Save its attachment and send the workbook."),
    (b"<!doctype html", "a web page (.html)", SAVE_AS),
    (b"<html", "a web page (.html)", SAVE_AS),
    (b"<table", "a web page (.html)", SAVE_AS),
    (b"<?xml", "an XML document", SAVE_AS),
)
OPEN_DOCUMENTS = (
    (b"opendocument.spreadsheet", "an OpenDocument spreadsheet (.ods)", SAVE_AS),
    (b"opendocument.text", "an OpenDocument text (.odt)", SEND_WORKBOOK),
    (b"", "an OpenDocument file that is not an .xlsx workbook", SAVE_AS),
)
MEMBERS = (
    ("word/document.xml", "a text document (.docx)", SEND_WORKBOOK),
    ("ppt/presentation.xml", "a presentation (.pptx)", SEND_WORKBOOK),
    ("xl/workbook.bin", "a binary workbook (.xlsb)", SAVE_AS),
    ("index/document.iwa", "a spreadsheet of the .numbers kind", SAVE_AS),
    ("index.zip", "a spreadsheet of the .numbers kind", SAVE_AS),
)
NEEDED_MEMBERS = frozenset({"[content_types].xml", "xl/workbook.xml"})


def not_a_workbook(found: str, todo: str) -> UnreadableFile:
    """Return the exception of a file that is something else."""
    return UnreadableFile("FILE02", found, EXPECTED, todo)


def damaged(what: str) -> UnreadableFile:
    """Return the exception of a workbook that is cut short or damaged."""
    found = f"a damaged workbook: {what}"
    return UnreadableFile("FILE02", found, "a whole .xlsx workbook", SEND_AGAIN)


def unsafe(found: str, expected: str = AS_SAVED, todo: str = SAVE_ANEW) -> UnreadableFile:
    """Return the exception of a workbook whose structure is not safe or not unambiguous to read."""
    return UnreadableFile("FILE05", found, expected, todo)


def encrypted(found: str) -> UnreadableFile:
    """Return the exception of a file that needs a password."""
    return UnreadableFile(
        "FILE03",
        found,
        "a workbook that opens without a password",
        "Save the workbook without a password to open it and send that copy.",
    )


def name_other_file(data: bytes) -> UnreadableFile:
    """Return what to say about a file that does not begin as an .xlsx workbook does.

    Parameters
    ----------
    data : bytes
        The whole file, or all of it that was read.

    Examples
    --------
    >>> name_other_file(b"%PDF-1.7").found
    'a PDF document'
    """
    if data.startswith(OLE_START):
        return _name_ole_file(data)
    for start, found, todo in SIGNATURES:
        if data.startswith(start):
            return not_a_workbook(found, todo)
    head = data[:HEAD].removeprefix(b"\xef\xbb\xbf").lstrip()
    if head and not CONTROL.search(head):
        return _name_text(head)
    if ZIP_START in data and ZIP_END in data:
        return unsafe("other bytes before the beginning of the workbook")
    return not_a_workbook("a file of no kind known here", SEND_WORKBOOK)


def name_other_archive(data: bytes, names: Iterable[str]) -> UnreadableFile | None:
    """Return what to say about a zip archive that is not an .xlsx workbook, or None when it may be.

    Parameters
    ----------
    data : bytes
        The whole file.
    names : iterable of str
        Names of its members.
    """
    lower = {name.lower() for name in names}
    if "mimetype" in lower:
        for kind, found, todo in OPEN_DOCUMENTS:
            if kind in data[:HEAD]:
                return not_a_workbook(found, todo)
    if lower >= NEEDED_MEMBERS:
        return None
    for member, found, todo in MEMBERS:
        if member in lower:
            return not_a_workbook(found, todo)
    if any(name.endswith((".xlsx", ".xlsm", ".xls", ".ods")) for name in lower):
        todo = "Unpack it and send the .xlsx workbook inside."
        return not_a_workbook("an archive with spreadsheets in it (.zip)", todo)
    return not_a_workbook("a zip archive without a workbook in it", SEND_WORKBOOK)


def _name_text(head: bytes) -> UnreadableFile:
    lower = head.lower()
    for phrase, found, todo in PHRASES:
        if phrase in lower:
            return not_a_workbook(found, todo)
    lines = head.splitlines()[:2]
    if any(all(separator in line for line in lines) for separator in SEPARATORS):
        return not_a_workbook("a table saved as text (.csv)", SAVE_AS)
    return not_a_workbook("plain text", SEND_WORKBOOK)


def _name_ole_file(data: bytes) -> UnreadableFile:
    def holds(stream: str) -> bool:
        return stream.encode("utf-16-le") in data

    if holds("EncryptedPackage"):
        return encrypted("a workbook encrypted with a password")
    if holds("Workbook") or holds("Book"):
        return not_a_workbook("a workbook of the old .xls kind", SAVE_AS)
    if holds("__substg1.0_"):
        return not_a_workbook("a saved mail (.msg)", "Save its attachment and send the workbook.")
    return not_a_workbook("a document of an old office kind", SAVE_AS)
