"""Formulas and references as OpenDocument spells them, brought to the spelling of an .xlsx workbook."""

from __future__ import annotations

import re

from validators.container import carries

PREFIX = re.compile(r"\s*(?:of|oooc):(?=\s*=)|\s*(?==)")
OWN_SPELLING = re.compile(r"\s*msoxl:\s*=")
PIECE = re.compile(
    r"(?P<text>\"(?:[^\"]|\"\")*+\"?)"
    r"|(?P<name>'(?:[^']|'')*+'?)"
    r"|\[(?P<reference>(?:[^\]']|'(?:[^']|'')*')*)\]"
    r"|(?P<error>#[A-Z0-9/]+[!?]?)"
    r"|(?P<list>[{}])"
    r"|(?P<separator>[;|])"
    r"|(?P<union>~)"
    r"|(?P<crossing>!)"
    r"|(?P<prefix>(?:COM\.MICROSOFT|LEGACY|ORG\.OPENOFFICE|ORG\.LIBREOFFICE)\.(?=[A-Z0-9_.]+\())",
    re.IGNORECASE,
)
CORNER = re.compile(
    r"(?:\$?(?P<sheet>'(?:[^']|'')*'|[^.'\[\]:!#$]+|#REF!)?\.)?"
    r"(?P<cell>\$?[A-Za-z]{1,3}\$?[1-9][0-9]{0,6}|\$?[A-Za-z]{1,3}|\$?[1-9][0-9]{0,6}|#REF!)"
)
FOREIGN = re.compile(r"#(?!REF!)")
PLAIN_TITLE = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


def translated(text: str, where: str = "") -> str:
    r"""Return a formula of an OpenDocument spreadsheet as an .xlsx workbook would spell it.

    Parameters
    ----------
    text : str
        As it stands in the file, prefix and equals sign included.
    where : str
        Where it stands, for the message when it leads out of the workbook.

    Returns
    -------
    str
        Without an equals sign. What cannot be read stays as it is, and so is no formula of ours.

    Raises
    ------
    UnreadableFile
        FILE04 when it reads from another document.

    Examples
    --------
    >>> translated('of:=IF([.A1]="";"";SUM([$\'Main bearings\'.B2:.C$3])*1.5)')
    'IF(A1="","",SUM(\'Main bearings\'!B2:C$3)*1.5)'
    >>> translated("of:=SUM({1;2|3;4})")
    'SUM({1,2;3,4})'
    """
    if OWN_SPELLING.match(text):
        return OWN_SPELLING.sub("", text, count=1)
    prefix = PREFIX.match(text)
    if prefix is None:
        return text
    bare = text[prefix.end():].removeprefix("=")
    depth = 0
    parts: list[str] = []
    end = 0
    for piece in PIECE.finditer(bare):
        parts.append(bare[end : piece.start()])
        end = piece.end()
        found, kind = piece[0], piece.lastgroup
        if kind == "reference":
            found = _reference(piece["reference"], where) or found
        elif kind == "list":
            depth += 1 if found == "{" else -1
        elif kind == "separator":
            if found == ";":
                found = ","
            elif depth > 0:
                found = ";"
        elif kind == "union":
            found = ","
        elif kind == "crossing":
            found = " "
        elif kind == "prefix":
            found = ""
        parts.append(found)
    parts.append(bare[end:])
    return "".join(parts)


def translated_range(text: str, where: str = "") -> str:
    """Return a cell or block of cells as an .xlsx workbook would spell it; as it is when it is none.

    Examples
    --------
    >>> translated_range("$'Main bearings'.$B$10:.$D$12"), translated_range("$Bores.$A$1")
    ("'Main bearings'!$B$10:$D$12", 'Bores!$A$1')
    """
    return _reference(text, where) or text


def _reference(text: str, where: str) -> str | None:
    if FOREIGN.search(re.sub(r"'(?:[^']|'')*'(?!#)", "", text)):
        raise carries([f"a formula linked to another document{where and f', {where}'}"])
    first = CORNER.match(text)
    if first is None:
        return None
    told = f"{_title(first['sheet'])}{first['cell']}"
    rest = text[first.end():]
    if not rest:
        return told
    second = CORNER.fullmatch(rest[1:]) if rest.startswith(":") else None
    if second is None:
        return None
    if second["sheet"] is None or second["sheet"] == first["sheet"]:
        return f"{told}:{second['cell']}"
    return f"{told}:{_title(second['sheet'])}{second['cell']}"


def _title(sheet: str | None) -> str:
    if sheet is None:
        return ""
    bare = sheet[1:-1].replace("''", "'") if sheet.startswith("'") else sheet
    if PLAIN_TITLE.fullmatch(bare) or bare == "#REF!":
        return f"{bare}!" if bare != "#REF!" else "#REF!"
    doubled = bare.replace("'", "''")
    return f"'{doubled}'!"
