"""The record as a page to print and sign: at most two sheets of paper for a V8."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from importlib.metadata import PackageNotFoundError, version

from validators.markup import Markup, element, page
from validators.record.figures import Judged, Row
from validators.record.recording import RELEASED, Record, Step, Told

PAPERS = {"a4": "A4", "letter": "letter"}
MOST_HOLDS = 16
"""Reasons that are printed; the rest is counted, and boreledger check lists them all."""

MOST_UPRIGHT = 8
"""So many values stand beside one another on upright paper; for more it lies on its side."""

LONG = 60
"""A longer text has a line of its own."""

LABEL, VALUE, HEADS, LAST = (22.0, 31.2), 5.8, (11.3, 4.9, 8.0), 5.4
"""Shares of a line, in hundredths: the label (least and most), a value, limits with U and origin, and the
word that goes for all values."""

UNSAID = ("not measured", "no limit set")
"""Words of which a line lists every quantity that has nothing else to say."""

SIGNED_OFF = ("done", "cleared", "after an earlier step")
SIGNED = ("Measured by", "Decided by", "Received by")
MARKS = {"under": "▼", "over": "▲", "too close to call": "?", "check entry": "", "check limits": ""}
SHORT = {"too close to call": "too close"}
STYLE = """
@page { size: PAPER; margin: 9mm 10mm }
* { box-sizing: border-box }
body { font: 7.3pt/1.18 "Liberation Sans", Arial, Helvetica, sans-serif; color: #111; margin: 0 auto;
max-width: 194mm }
h1 { font-size: 14pt; margin: 0 0 1mm } h2 { font-size: 8.6pt; margin: 2.2mm 0 .7mm; break-after: avoid }
table { border-collapse: collapse; width: 100% } tr { break-inside: avoid }
th, td { overflow-wrap: anywhere; text-align: left; vertical-align: top; padding: .17mm 1.2mm .17mm 0;
border-bottom: .2pt solid #aaa }
th { font-weight: 600 } thead { display: table-header-group }
.head { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 0 6mm } .head div { padding: .2mm 0 }
.head b, .quiet { font-weight: 400; color: #444 } .wide { grid-column: 1 / -1 }
.state { border: .8pt solid #111; padding: 1.2mm 2mm; margin: 1.5mm .4mm; break-inside: avoid }
.state strong { font-size: 10pt } .state ul { margin: .8mm 0 0; padding-left: 4mm; columns: 2 }
.state li { break-inside: avoid; overflow-wrap: anywhere }
.checks { table-layout: fixed }
.checks td:nth-child(3) { white-space: nowrap }
.checks td.n { text-align: right; white-space: nowrap; padding-right: .8mm; letter-spacing: -.12pt }
.checks td.n small { letter-spacing: 0 }
.checks .sheet th { background: #eee; padding-top: .5mm; border-bottom: .4pt solid #111 }
.checks .sheet th.n { text-align: right; padding-right: .8mm }
.checks small { display: block; font-size: 5.6pt; line-height: 1.05; color: #333 }
.checks .one small, .checks td:first-child small { display: inline }
.checks td:nth-child(4) small { padding-top: .4mm; font-size: 5.1pt; white-space: nowrap }
.checks td.all, .checks th.all { padding-right: .3mm; text-align: right; overflow-wrap: normal }
.checks td.all small { padding-top: .3mm; font-size: 6pt; white-space: nowrap }
.bad { font-weight: 700 } .bad small { font-weight: 700; text-decoration: underline; color: #111 }

.small td, .small th { font-size: 6.3pt }
.each { table-layout: fixed }
.two { display: grid; grid-template-columns: 1fr 1fr; gap: 0 6mm; align-items: start }
.two td:nth-child(n+2) { white-space: nowrap } p { margin: .8mm 0 }
.sign { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 8mm; margin-top: 8mm; break-inside: avoid }
.sign div { border-top: .5pt solid #111; padding-top: .6mm; display: flex; justify-content: space-between;
padding-right: 22mm }
.end { break-inside: avoid } .end p { margin: .5mm 0 } p.quiet { font-size: 6.3pt; margin: 1mm 0 }
footer { margin-top: 2mm; color: #444; font-size: 6pt }
.gauges td:nth-child(-n+4), .gauges th:first-child { white-space: nowrap }
.gauges td:nth-child(2) { white-space: normal }
@media screen { body { margin: 8mm auto; font-size: 10pt; max-width: 260mm }
.checks small { font-size: 7.5pt }
.small td, .small th { font-size: 8.5pt } }
"""


def as_html(told: Record, *, paper: str = "") -> str:
    """Return the record as a page that stands by itself.

    Parameters
    ----------
    told : Record
        What is printed.
    paper : str, optional
        "a4" or "letter"; otherwise letter for the inch family and A4 for millimetres.
    """
    size = PAPERS[paper or ("letter" if told.family == "inch" else "a4")]
    across = _width(told) > MOST_UPRIGHT
    style = STYLE.replace("PAPER", f"{size} landscape" if across else size)
    return page(
        told.title,
        style.replace("max-width: 194mm", "max-width: 278mm") if across else style,
        element("h1", told.title),
        _pairs(told.job),
        _state(told),
        _pairs(told.build),
        element("h2", "Verdicts"),
        _checks(told),
        element("h2", "Fitted parts and their marks"),
        _each(told.fitted),
        element("p", "Ring gaps stand at: ", "; ".join(f"{t.label} {t.value or '–'}" for t in told.rings))
        if any(item.value for item in told.rings) else None,
        [element("h2", "Masses, g"), _each(told.masses)] if told.masses else None,
        element("h2", "Assembly, step by step"),
        _steps(told.steps),
        element("h2", "Measured with"),
        _gauges(told),
        element("p", "; ".join(f"{t.label}: {t.value or 'not said'}" for t in told.common), class_="quiet"),
        _end(told),
    )


def _pairs(told: Sequence[Told]) -> Markup:
    shown = [
        element(
            "div", element("b", f"{item.label}: "), item.value,
            class_="wide" if len(item.value) > LONG else "narrow",
        )
        for item in told
        if item.value
    ]
    return element("div", shown, class_="head")


def _state(told: Record) -> Markup:
    counted = ", ".join(f"{item.value} {item.label}" for item in told.counted)
    more = len(told.holds) - MOST_HOLDS
    reasons = [element("li", text) for text in told.holds[:MOST_HOLDS]]
    if more > 0:
        reasons.append(element("li", f"and {more} more: boreledger check lists them all"))
    return element(
        "div",
        element("strong", "Held" if told.state != RELEASED else "No measurement holds the assembly"),
        f"   Verdicts: {counted}.",
        f" Findings about the sheet that need a look: {told.looks}." if told.looks else None,
        element("ul", reasons) if reasons else None,
        class_="state",
    )


def _width(told: Record) -> int:
    """Return how many values the widest row of verdicts has; what there are many of goes on in a new line."""
    rows = (row for _, rows in told.checks for row in rows if row.each and not row.many)
    return max((len(row.values) for row in rows), default=1)


def _checks(told: Record) -> Markup:
    width = _width(told)
    room = 100 - sum(HEADS) - LAST
    label = min(max(room - VALUE * width, LABEL[0]), LABEL[1])
    columns = [label, *HEADS, *[(room - label) / width] * width, LAST]
    body: list[Markup] = []
    for title, rows in told.checks:
        numbers = [element("th", str(number), class_="n") for number in range(1, width + 1)]
        heads = [element("th", text) for text in (title, "limits", "U", "from")]
        body.append(element("tr", heads, numbers, element("th", "all", class_="all"), class_="sheet"))
        for row in rows:
            if row.only_word not in UNSAID:
                body += _lines(row, width)
        for word in UNSAID:
            labels = [row.label for row in rows if row.only_word == word]
            if labels:
                body.append(element("tr", element("td", f"{word}: {'; '.join(labels)}", colspan=5 + width)))
    group = [element("col", style=f"width: {share:.2f}%") for share in columns]
    return element("table", element("colgroup", group), element("tbody", body), class_="checks")


def _lines(row: Row, width: int) -> Iterator[Markup]:
    """Yield the lines of one row; a word that goes for all places is said once."""
    each = element("small", f" each {row.each}") if row.each and not row.only_word else None
    word = element("td", element("small", row.shared_word) if row.shared_word else None, class_="all")
    head = [
        element("td", [row.label, each]), element("td", row.limits), element("td", row.guard),
        element("td", element("small", row.origin.partition(",")[0])),
    ]
    if row.only_word:
        yield element("tr", head, element("td", row.only_word, colspan=width + 1))
    elif not row.each:
        yield element("tr", head, _alone(row, width), word)
    else:
        for start in range(0, len(row.values), width):
            values = row.values[start:start + width]
            cells = [_value(judged, row) for judged in values]
            if len(values) < width:
                cells.append(element("td", colspan=width - len(values)))
            yield element("tr", head, cells, word)
            head, word = [element("td", colspan=4)], element("td")


def _word(judged: Judged) -> str:
    return f"{MARKS.get(judged.word, '')} {SHORT.get(judged.word, judged.word)}".strip()


def _alone(row: Row, width: int) -> Markup:
    """Return the one value of a row, with its word on the same line."""
    judged = row.values[0]
    style = "one bad" if judged.word in MARKS else "one"
    value, word = f"{judged.value or '–'} ", None if row.shared_word else element("small", _word(judged))
    return element("td", value, word, class_=style, colspan=width)


def _value(judged: Judged, row: Row) -> Markup:
    style = "n bad" if judged.word in MARKS else "n"
    told = [judged.place] if row.many else []
    told += [] if row.shared_word else [_word(judged)]
    words = element("small", " ".join(told)) if told else None
    limits = element("small", judged.limits.replace(" to ", "–")) if judged.limits else None
    return element("td", judged.value or "–", words, limits, class_=style)


def _each(rows: Sequence[tuple[str, str, tuple[str, ...]]]) -> Markup:
    """Return what each part has, in columns; what all of them have is said once."""
    width = max(len(values) for _, _, values in rows)
    body = []
    for label, axis, values in rows:
        alike = len(set(values)) == 1 and len(values) > 1
        cells = [element("td", value or "–") for value in (values[:1] if alike else values)]
        if len(cells) < width:
            left = width - len(cells)
            cells.append(element("td", "all of them" if alike and values[0] else None, colspan=left))
        body.append(element("tr", element("td", label), element("td", axis), cells))
    heads = [element("th", text) for text in ("", "for each", *map(str, range(1, width + 1)))]
    shares = (22, 9, *[69 / width] * width)
    group = element("colgroup", [element("col", style=f"width: {share:.2f}%") for share in shares])
    head = element("thead", element("tr", heads))
    return element("table", group, head, element("tbody", body), class_="small each")


def _steps(steps: Sequence[Step]) -> Markup:
    """Return the steps of the assembly in two columns, or one sentence when nobody has signed any."""
    if not any(step.by for step in steps):
        counts = Counter(step.state for step in steps)
        told = ", ".join(f"{count} {state}" for state, count in counts.items())
        return element("p", f"No step is signed; of {len(steps)} steps {told}.")
    half = (len(steps) + 1) // 2
    tables = []
    for start in (0, half):
        rows = [
            element("tr", [
                element("td", text) for text in (step.title, step.state, step.by, step.date)
            ], class_="plain" if step.state in SIGNED_OFF else "bad")
            for step in steps[start:start + half]
        ]
        heads = [element("th", text) for text in ("", "is", "done by", "on")]
        tables.append(element("table", element("thead", element("tr", heads)), element("tbody", rows)))
    return element("div", tables, class_="two small")


def _gauges(told: Record) -> Markup:
    heads = element("tr", [element("th", text) for text in told.gauge_heads])
    rows = [element("tr", [element("td", text) for text in row]) for row in told.gauges]
    return element("table", element("thead", heads), element("tbody", rows), class_="small gauges")


def _end(told: Record) -> Markup:
    signs = [element("div", element("span", who), element("span", "Date")) for who in SIGNED]
    return element(
        "div",
        element("h2", "Cautions"),
        element("p", " ".join(_said_once(told.cautions)), class_="quiet"),
        element("div", signs, class_="sign"),
        element("footer", "   ".join(_made_from(told))),
        class_="end",
    )


def _said_once(cautions: Sequence[str]) -> Iterator[str]:
    """Yield the sentences of all cautions, each once."""
    sentences = (f"{part.removesuffix('.')}." for told in cautions for part in told.split(". "))
    yield from dict.fromkeys(sentences)


def _made_from(told: Record) -> Iterator[str]:
    yield f"Made from {told.file}, SHA-256 {told.digest}."
    try:
        number = version("boreledger")
    except PackageNotFoundError:
        number = "(not installed)"
    yield f"boreledger {number}, template version {told.template_version}; every value recomputed."
    yield "U: expanded uncertainty; within means inside the limits by more than U."


__all__: Sequence[str] = ("PAPERS", "as_html")
