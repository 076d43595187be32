"""The parts that all sheets refer to: the table of texts and the table of formats."""

from __future__ import annotations

import re

from lxml import etree
from openpyxl.styles.numbers import BUILTIN_FORMATS

from validators.container import Limits
from validators.errors import UnreadableFile
from validators.file_kinds import unsafe
from validators.returned_sheet import CellFormat

TRUE_WORDS = frozenset({"1", "true", "on"})
ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


def is_true(word: str | None) -> bool:
    """Return whether an attribute says yes; programs write ``1`` or ``true``."""
    return word in TRUE_WORDS


def unescaped(text: str) -> str:
    r"""Return a text with its ``_x000D_`` written out as the character it stands for.

    Examples
    --------
    >>> unescaped("a_x0009_b, _x005F_x0009_")
    'a\tb, _x0009_'
    """
    if "_x" not in text:
        return text
    plain = ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)
    # Two halves of one character become that character; a half alone stands for nothing.
    return plain.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def plain_text(item: etree._Element, namespace: str) -> str:
    """Return the text of a string item: its runs joined, without reading aids.

    Parameters
    ----------
    item : element
        ``si`` or ``is``.
    namespace : str
        Prefix of its elements, as in ``{...}``.
    """
    text_tag, run_tag = f"{namespace}t", f"{namespace}r"
    pieces: list[str] = []
    for child in item:
        if child.tag == text_tag:
            pieces.append(child.text or "")
        elif child.tag == run_tag:
            pieces += [text.text or "" for text in child if text.tag == text_tag]
    return unescaped("".join(pieces))


def read_texts(root: etree._Element, namespace: str, limits: Limits) -> list[str]:
    """Return the table of texts.

    Raises
    ------
    UnreadableFile
        FILE05 when a text is longer than a cell can hold.
    """
    item_tag = f"{namespace}si"
    texts = [plain_text(item, namespace) for item in root if item.tag == item_tag]
    if any(len(text) > limits.text_characters for text in texts):
        raise too_long(limits)
    return texts


def too_long(limits: Limits) -> UnreadableFile:
    """Return the exception of a text that no cell can hold."""
    most = f"texts of at most {limits.text_characters} characters"
    return unsafe("a text longer than a cell can hold", most)


def read_formats(root: etree._Element, namespace: str) -> dict[str, CellFormat]:
    """Return the formats of cells by their number, as text.

    The lock is the one that a cell's own format states; no program looks further.
    """
    codes = {str(number): code for number, code in BUILTIN_FORMATS.items()}
    for element in root.iterfind(f"{namespace}numFmts/{namespace}numFmt"):
        codes[element.get("numFmtId", "")] = element.get("formatCode", "General")
    formats: dict[str, CellFormat] = {}
    for number, element in enumerate(root.iterfind(f"{namespace}cellXfs/{namespace}xf")):
        protection = element.find(f"{namespace}protection")
        locked = protection is None or is_true(protection.get("locked", "1"))
        code = codes.get(element.get("numFmtId", "0"), "General")
        formats[str(number)] = CellFormat(locked, code)
    return formats or {"0": CellFormat()}
