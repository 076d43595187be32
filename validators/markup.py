"""HTML and SVG as text: whatever is not markup already is escaped."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

VOID = frozenset({"br", "meta", "hr"})
NO_SCRIPTS = "default-src 'none'; style-src 'unsafe-inline'"
"""A page may use its own style and nothing else: no script, no picture, no other place."""


class Markup(str):
    """Text that is markup already and is not escaped again."""

    __slots__ = ()


Content = str | float | Iterable["Content"] | None


def element(tag: str, *content: Content, **attributes: str | float) -> Markup:
    """Return an element; text is escaped, a list gives its items one after the other.

    Attribute names end in an underscore where Python has the word, and carry one for a hyphen.

    Examples
    --------
    >>> element("p", "a < b", element("br"), class_="note")
    '<p class="note">a &lt; b<br></p>'
    """
    told = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{escape(plain(str(value)))}"'
        for name, value in attributes.items()
    )
    inner = "".join(map(_text, content))
    return Markup(f"<{tag}{told}>" + ("" if tag in VOID else f"{inner}</{tag}>"))


def _text(content: Content) -> str:
    if content is None:
        return ""
    if isinstance(content, Markup):
        return content
    if isinstance(content, str):
        return escape(plain(content))
    if isinstance(content, int | float):
        return str(content)
    return "".join(map(_text, content))


def plain(text: str) -> str:
    r"""Return a stranger's text without characters that steer or hide.

    Examples
    --------
    >>> plain("a\x1b[31m\u202eb")
    'a [31m b'
    """
    return "".join(c if c.isprintable() else " " for c in text)


def page(title: str, style: str, *content: Content) -> str:
    """Return a whole page that stands by itself: no script, nothing fetched."""
    head = element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", http_equiv="Content-Security-Policy", content=NO_SCRIPTS),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("title", title),
        element("style", Markup(style)),
    )
    return f"<!DOCTYPE html>\n{element('html', head, element('body', *content), lang='en')}\n"
