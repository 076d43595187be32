"""What a file of the pile is: told by its first bytes, and by its name where it claims to be a workbook."""

from __future__ import annotations

import enum
import re

from validators.errors import UnreadableFile
from validators.file_kinds import ZIP_END, ZIP_START, name_other_file

WORKBOOK_ENDINGS = (".xlsx", ".xlsm", ".xltx", ".ods", ".ots")
MAIL_ENDINGS = (".eml",)
MAILBOX_ENDINGS = (".mbox", ".mbx")
HEADER = re.compile(
    rb"^(from|to|date|subject|message-id|received|return-path|mime-version|delivered-to|reply-to|"
    rb"content-type|x-[a-z-]+):", re.IGNORECASE | re.MULTILINE,
)
HEADERS_OF_A_MAIL = 3
FILM = (b"ftypqt", b"ftypmp4", b"ftypisom", b"ftypM4V", b"ftypMSNV")
PICTURES = (b"GIF8", b"BM", b"II*\x00", b"MM\x00*")
SOUNDS = (b"ID3", b"OggS", b"\xff\xfb", b"\x1aE\xdf\xa3")
MAY_HOLD_READINGS = (
    "a workbook", "a binary workbook", "a spreadsheet", "a flat OpenDocument", "an OpenDocument spreadsheet",
    "an archive", "a compressed file", "a saved mail (", "a spreadsheet of",
)
OLD_WORKBOOK = "a workbook of the old .xls kind"
WRAPPED_MAIL = b"\x78\x9f\x3e\x22"
LEFT_ALONE = "Nothing, unless there are readings in it."


class Sort(enum.Enum):
    """What is done with a file."""

    WORKBOOK = enum.auto()
    ARCHIVE = enum.auto()
    MAIL = enum.auto()
    MAILBOX = enum.auto()
    OTHER = enum.auto()


def sort_of(name: str, head: bytes) -> Sort:
    """Return what is to be done with a file.

    Parameters
    ----------
    name : str
        Its name, without folders.
    head : bytes
        Its first bytes.

    Examples
    --------
    >>> sort_of("job.xlsx", b"%PDF-1.7"), sort_of("job.pdf", b"%PDF-1.7")
    (<Sort.WORKBOOK: 1>, <Sort.OTHER: 5>)
    """
    lower = name.lower()
    if lower.endswith(WORKBOOK_ENDINGS):
        return Sort.WORKBOOK
    if head.startswith((ZIP_START, ZIP_END)) or (lower.endswith(".zip") and head):
        return Sort.ARCHIVE
    if head.startswith(b"From ") and looks_like_mail(head.partition(b"\n")[2]):
        return Sort.MAILBOX
    if lower.endswith(MAILBOX_ENDINGS) and head.startswith(b"From "):
        return Sort.MAILBOX
    if looks_like_mail(head) or (lower.endswith(MAIL_ENDINGS) and HEADER.match(head)):
        return Sort.MAIL
    return Sort.OTHER


def looks_like_mail(head: bytes) -> bool:
    """Return whether a file begins with the header of a mail."""
    header = re.split(rb"\r?\n\r?\n", head.lstrip(), maxsplit=1)[0]
    if b"\x00" in header or not re.match(rb"[A-Za-z-]+:", header):
        return False
    return len({found[1].lower() for found in HEADER.finditer(header)}) >= HEADERS_OF_A_MAIL


def passed_over(data: bytes) -> tuple[str, str, bool]:
    r"""Return what a file that is no workbook is, what to do, and whether readings may be lost in it.

    Examples
    --------
    >>> passed_over(b"\xff\xd8\xff")
    ('a picture (.jpg)', 'Nothing, unless there are readings in it.', False)
    """
    if not data:
        return "an empty file", LEFT_ALONE, False
    if data.startswith(WRAPPED_MAIL):
        todo = "Ask for the mail again, with the workbook attached in the plain way."
        return "attachments wrapped by a mail program (winmail.dat)", todo, True
    shown = _picture_or_film(data)
    if shown:
        return shown, LEFT_ALONE, False
    return told_of(name_other_file(data))


def told_of(other: UnreadableFile) -> tuple[str, str, bool]:
    """Return the same of a file whose kind is known."""
    if other.found == OLD_WORKBOOK:
        return "an older workbook format (.xls)", "Save it as .xlsx and check that file.", True
    grave = other.code == "FILE03" or other.found.startswith(MAY_HOLD_READINGS)
    found = "a file of no kind known here" if other.code == "FILE05" else other.found
    return found, other.todo if grave else LEFT_ALONE, grave


def _picture_or_film(data: bytes) -> str:
    riff, boxed = data[:4] == b"RIFF", data[4:8] == b"ftyp"
    if data.startswith(PICTURES) or (riff and data[8:12] == b"WEBP"):
        return "a picture"
    if data.startswith(SOUNDS) or riff or (boxed and data[4:].startswith(FILM)):
        return "a film or a sound"
    return "a picture" if boxed else ""
