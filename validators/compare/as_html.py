"""A comparison as one page that stands by itself, with a picture for each kind of reading."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from validators.compare.as_text import assumed, figures, number, summary
from validators.compare.comparison import Comparison, Differing, Kind
from validators.compare.plot import plot
from validators.markup import Markup, element, page

STYLE = """
body { font: 14px/1.4 sans-serif; color: #1b2430; max-width: 60rem; margin: 1.5rem auto; padding: 0 1rem }
h1 { font-size: 1.4rem }
h2 { font-size: 1.1rem; margin-top: 2rem } h3 { font-size: 1rem; margin: 1rem 0 .2rem }
table { border-collapse: collapse; margin: .4rem 0 } th, td { text-align: left;
padding: .15rem .8rem .15rem 0; border-bottom: 1px solid #d5dae1;
vertical-align: top } th { font-weight: 600 }
svg, tr { break-inside: avoid } h2, h3 { break-after: avoid }
.note { color: #55606e } .sum { font-weight: 600 }
svg { width: 100%; max-width: 46rem; font: 10px sans-serif } svg text { fill: #333 }
.band { fill: #e3e8ef } .zero { stroke: #9aa5b1 } .bias { stroke: #14508c; stroke-width: 1.5 }
.limit { stroke: #14508c; stroke-dasharray: 5 3 } .point { fill: #14508c } .off { fill: #b3261e }
.frame { fill: none; stroke: #55606e }
@media print { body { margin: 0; max-width: none } }
"""


def as_html(found: Comparison) -> str:
    """Return the comparison as a page."""
    one, two = found.files
    about = [f"job {found.job}"] if found.job else []
    return page(
        f"{one} against {two}",
        STYLE,
        element("h1", f"{one} against {two}"),
        element("p", ", ".join([*about, found.layout, f"{found.family} family"]), class_="note"),
        element("p", summary(found), class_="sum"),
        [_warning(name, count) for name, count in zip(found.files, found.faults, strict=True) if count],
        [_kind(kind) for kind in found.kinds if not kind.is_equal],
        _equal([kind for kind in found.kinds if kind.is_equal]),
        _section("Readings that stand in both and cannot be compared", found, found.left_out),
        _section(f"Verdicts that differ ({found.verdicts_alike} alike)", found, found.verdicts),
        _section("Other entries that differ", found, found.other_entries),
        element("p", f"Readings only in {one}: {found.only_first}. Only in {two}: {found.only_second}."),
        element("h2", "How it is computed"),
        [element("p", sentence, class_="note") for sentence in assumed(found)],
    )


def _warning(name: str, count: int) -> Markup:
    text = f"{name} has {count} finding(s) about the sheet that block: see boreledger check."
    return element("p", text, class_="sum")


def _kind(kind: Kind) -> Markup:
    rows = [element("tr", element("th", head), element("td", text)) for head, text in figures(kind)]
    return element(
        "section",
        element("h3", f"{kind.label}, {kind.agreement.count} readings"),
        element("p", kind.note, class_="note"),
        element("table", rows),
        plot(kind),
        list(_disagreeing(kind)),
    )


def _equal(kinds: Sequence[Kind]) -> Markup | None:
    if not kinds:
        return None
    told = "; ".join(f"{kind.label}, {kind.agreement.count}" for kind in kinds)
    return element("section", element("h3", "No reading differs"), element("p", told, class_="note"))


def _disagreeing(kind: Kind) -> Iterator[Markup]:
    if kind.disagreeing:
        yield element("p", "Disagree beyond their uncertainty (triangles):", class_="sum")
        rows = [
            (
                f"{pair.sheet}!{pair.cell}", pair.label, number(kind, pair.first), number(kind, pair.second),
                number(kind, pair.difference, sign=True), number(kind, pair.expanded or 0.0),
            )
            for pair in kind.disagreeing
        ]
        yield _table(("cell", "reading", "first", "second", "difference", "U"), rows)


def _section(title: str, found: Comparison, told: Sequence[Differing]) -> Markup | None:
    if not told:
        return None
    rows = [(f"{t.sheet}!{t.cell}", t.label, t.first or "blank", t.second or "blank") for t in told]
    return element("section", element("h2", title), _table(("cell", "what", *found.files), rows))


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Markup:
    return element(
        "table",
        element("tr", [element("th", head) for head in heads]),
        [element("tr", [element("td", text) for text in row]) for row in rows],
    )
