"""OpenDocument spreadsheets: the same structure as from an .xlsx workbook, and as little trust."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from validators.canonical import canonical
from validators.container import Limits
from validators.errors import UnreadableFile
from validators.open_document import is_open_document, read_open_document
from validators.open_document_formula import translated, translated_range
from validators.returned import read_returned

SPACES = " ".join(
    f'xmlns:{prefix}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for prefix, name in (
        ("office", "office"), ("table", "table"), ("text", "text"), ("style", "style"),
        ("number", "datastyle"),
        ("draw", "drawing"), ("script", "script"), ("meta", "meta"), ("manifest", "manifest"),
    )
) + (
    ' xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
    ' xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xlink="http://www.w3.org/1999/xlink"'
)
STYLES = (
    '<number:date-style style:name="N1"><number:year/><number:month/><number:day/></number:date-style>'
    '<number:number-style style:name="N2"><number:number number:decimal-places="3"/></number:number-style>'
    '<style:style style:name="open" style:family="table-cell" style:data-style-name="N2">'
    '<style:table-cell-properties style:cell-protect="none"/></style:style>'
    '<style:style style:name="day" style:family="table-cell" style:parent-style-name="open" '
    'style:data-style-name="N1"/>'
    '<style:style style:name="away" style:family="table"><style:table-properties table:display="false"/>'
    "</style:style>"
)


def package(body: str, **more: bytes) -> bytes:
    """Return a spreadsheet with one body; `more` are further members, by name with _ for /."""
    content = (
        f"<office:document-content {SPACES}><office:automatic-styles>{STYLES}</office:automatic-styles>"
        f"<office:body><office:spreadsheet>{body}</office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet", zipfile.ZIP_STORED)
        archive.writestr("content.xml", content)
        for name, data in more.items():
            archive.writestr(name.replace("__", "/"), data)
    return out.getvalue()


def table(rows: str, attributes: str = "", before: str = "") -> str:
    return f'<table:table table:name="Bores" {attributes}>{before}{rows}</table:table>'


def row(*cells: str, attributes: str = "") -> str:
    return f"<table:table-row {attributes}>{''.join(cells)}</table:table-row>"


def cell(attributes: str = "", text: str | None = None) -> str:
    shown = "" if text is None else f"<text:p>{text}</text:p>"
    return f"<table:table-cell {attributes}>{shown}</table:table-cell>"


def sheet(body: str, **more: bytes):
    data = package(body, **more)
    assert is_open_document(data)
    return read_returned(data, Path("job.ods")).sheets[0]


@pytest.mark.parametrize(
    ("attributes", "text", "value", "kind"),
    [
        ('office:value-type="float" office:value="86.012"', "86.0", 86.012, "number"),
        ('office:value-type="percentage" office:value="0.05"', "5 %", 0.05, "number"),
        ('office:value-type="float" office:value="1.5E-007"', "0", 1.5e-7, "number"),
        ('office:value-type="float" office:value="NaN"', "0", None, "error"),
        ('office:value-type="string"', "86,012", "86,012", "text"),
        ('office:value-type="string" office:string-value="P 1"', "P1", "P 1", "text"),
        ('office:value-type="string"', 'a<text:s text:c="2"/>b<text:tab/><text:span>c</text:span>d',
         "a  b\tcd", "text"),
        ('office:value-type="boolean" office:boolean-value="true"', "TRUE", True, "bool"),
        ('office:value-type="date" office:date-value="2031-04-11"', "11/04/31", 47949.0, "number"),
        ('office:value-type="time" office:time-value="PT12H00M00S"', "12:00", 0.5, "number"),
        ('office:value-type="date" office:date-value="soon"', "soon", None, "error"),
        ('office:value-type="string" calcext:value-type="error"', "#DIV/0!", "#DIV/0!", "error"),
        ('office:value-type="string" calcext:value-type="error"', "Err:502", "#VALUE!", "error"),
        ('table:formula="of:=[.B1]"', "", "", "text"),
        ("", None, None, "blank"),
    ],
)
def test_a_value_is_what_it_would_be_in_the_other_format(attributes, text, value, kind):
    held = sheet(table(row(cell(attributes, text)))).cell("A1")
    assert (held.value, held.kind) == (value, kind)


def test_repeated_cells_and_rows_are_written_out():
    """Values wherever they are repeated; blanks only where they are open, or have a rule."""
    body = table(
        row(
            cell('table:number-columns-repeated="2"'),
            cell('office:value-type="float" office:value="1" table:number-columns-repeated="2"', "1"),
            cell('table:style-name="open" table:number-columns-repeated="2"'),
            attributes='table:number-rows-repeated="2"',
        )
        + "<table:table-header-rows>"
        + row(cell('office:value-type="string"', "x"))
        + "</table:table-header-rows>"
        + row(cell('table:number-columns-repeated="16384"'),
              attributes='table:number-rows-repeated="1048000"')
    )
    held = sheet(body)
    assert sorted(held.cells) == ["A3", "C1", "C2", "D1", "D2", "E1", "E2", "F1", "F2"]
    assert not held.cell("F2").locked
    assert held.cell("F2").number_format == "0.000"
    assert held.cell("G2").locked
    assert held.cell("A3").value == "x"


def test_locks_come_from_the_style_its_parent_its_row_or_its_column():
    columns = (
        '<table:table-column table:default-cell-style-name="day"/>'
        '<table:table-column table:number-columns-repeated="2"/>'
    )
    body = table(
        row(cell(), cell('table:style-name="day"'), cell())
        + row(cell(), attributes='table:default-cell-style-name="open"'),
        'table:protected="true" table:style-name="away"', columns,
    )
    held = sheet(body)
    assert [held.cell(a).locked for a in ("A1", "B1", "C1", "C2", "A9")] == [False, False, True, False, False]
    assert held.cell("B1").number_format == "yyyy-mm-dd"
    assert (held.protected, held.password, held.visible) == (True, False, "hidden")


def test_rules_names_and_merged_cells():
    rules = (
        '<table:content-validations><table:content-validation table:name="v1" '
        'table:condition="of:cell-content-is-decimal-number() and cell-content-is-between(-1,400)">'
        '<table:error-message table:display="true" table:message-type="stop"/></table:content-validation>'
        '<table:content-validation table:name="v2" table:condition="of:cell-content-is-in-list(&quot;a&quot;;'
        '&quot;b&quot;)"/><table:content-validation table:name="v3" '
        'table:condition="of:cell-content-is-date() and cell-content()&gt;=36526"/>'
        "</table:content-validations>"
    )
    names = (
        '<table:named-expressions><table:named-range table:name="Bore_Size" '
        "table:cell-range-address=\"$'Main bearings'.$B$2:.$C$3\"/>"
        '<table:named-expression table:name="twice" table:expression="[$Bores.$A$1]*2"/>'
        "</table:named-expressions>"
    )
    rows = row(
        cell('table:content-validation-name="v1" table:number-columns-repeated="2"'),
        cell('table:content-validation-name="v2" table:number-columns-spanned="2"'),
        cell('table:content-validation-name="v3"'),
    )
    book = read_returned(package(rules + table(rows) + names), Path("a.ods"))
    first, second, third = book.sheets[0].validations
    assert (first.ranges, first.type, first.operator) == (("A1", "B1"), "decimal", "between")
    assert (first.formula1, first.formula2, first.show_error) == ("-1", "400", True)
    assert (second.type, second.formula1) == ("list", '"a","b"')
    assert (third.type, third.operator, third.formula1) == ("date", "greaterThanOrEqual", "36526")
    assert book.sheets[0].merged == ("C1:D1",)
    assert book.names == {"bore_size": "'Main bearings'!$B$2:$C$3", "twice": "Bores!$A$1*2"}


def test_document_properties_and_the_day_dates_count_from():
    meta = (
        f"<office:document-meta {SPACES}><office:meta><meta:generator>Sheet 9</meta:generator>"
        "<dc:date>2031-03-04T08:00:00</dc:date>"
        '<meta:user-defined meta:name="plan">12ab</meta:user-defined></office:meta></office:document-meta>'
    )
    settings = (
        '<table:calculation-settings><table:null-date table:date-value="1904-01-01"/>'
        "</table:calculation-settings>"
    )
    body = settings + table(row(cell('office:value-type="date" office:date-value="1904-01-03"', "x")))
    book = read_returned(package(body, **{"meta.xml": meta.encode()}), Path("a.ods"))
    assert (book.core.application, book.core.modified) == ("Sheet 9", "2031-03-04T08:00:00")
    assert book.custom == {"plan": "12ab"}
    assert book.counts_from_1904
    assert book.sheets[0].cell("A1").value == 2.0


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ('of:=IF(bore_size="";"a;b|[.A1]";SUM([.A1:.B2];[$Other.$C$3]))',
         '=IF(bore_size="","a;b|[.A1]",SUM(A1:B2,Other!$C$3))'),
        ("of:=[$'It''s here'.A1]", "='It''s here'!A1"),
        ("of:=[$'Main.bearings'.A1:.A9]", "='Main.bearings'!A1:A9"),
        ("of:=SUM([Other.1:.3])", "=SUM(Other!1:3)"),
        ("of:=[.#REF!]+[#REF!.B2]", "=#REF!+#REF!B2"),
        ("of:=COM.MICROSOFT.IFERROR([.A1];0)", "=IFERROR(A1,0)"),
        ("of:=SUM([.A1:.A3]~[.B1])*SUM([.A1:.B2]![.B1:.C2])", "=SUM(A1:A3,B1)*SUM(A1:B2 B1:C2)"),
        ("oooc:=[.A1]*1.5", "=A1*1.5"),
        ("msoxl:=A1*1.5", "=A1*1.5"),
        ("=[.A1]", "=A1"),
    ],
)
def test_formulas_are_compared_in_one_spelling(text, wanted):
    assert canonical(translated(text), "Bores") == canonical(wanted, "Bores")


@pytest.mark.parametrize(
    "text", ["of:=[.A1:]", "of:=[whatever]", "of:=[.A1", "xyz:=A1", "of:=[$A.B.C]", "of:=[.A1:$B.C2:.D3]"]
)
def test_what_cannot_be_read_is_no_formula_of_ours(text):
    assert translated(text) not in ("A1", "bore_size")
    assert translated_range("$Bores.#REF!") == "Bores!#REF!"


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (table(row(cell("table:formula=\"of:=['file:///tmp/b.ods'#$Bores.A1]\"", ""))), "FILE04"),
        (table(row(cell("table:formula=\"of:=DDE(&quot;a&quot;;&quot;b&quot;)\"", ""))), "FILE04"),
        (table("", before='<table:table-source xlink:href="http://example.org/a.ods"/>'), "FILE04"),
        (table(row(cell())) + "<table:dde-links><table:dde-link/></table:dde-links>", "FILE04"),
        (table(row('<table:table-cell><draw:object xlink:href="./Object 1"/></table:table-cell>')), "FILE04"),
        (table(row('<table:table-cell><script:event-listener/></table:table-cell>')), "FILE04"),
        (table(row(cell())) + "<table:named-expressions><table:named-range table:name=\"a\" "
         "table:cell-range-address=\"'file:///b.ods'#$A.$B$1\"/></table:named-expressions>", "FILE04"),
        (table(row(cell('office:value-type="float" office:value="1" table:number-columns-repeated="900"'))),
         "FILE05"),
        (table(row(cell('office:value-type="float" office:value="1"'),
                   attributes='table:number-rows-repeated="900000"')), "FILE05"),
        (table(row(cell('table:number-columns-repeated="-1"'))), "FILE05"),
        (table(row(cell(text="x" * 40_000))), "FILE05"),
        (table(row(cell(text='<text:s text:c="99999999"/>'))), "FILE05"),
        (table(row(cell(text=f'<text:s text:c="{"9" * 5000}"/>'))), "FILE05"),
        (table(row(cell(f'table:formula="of:={"1+" * 5000}1"', ""))), "FILE05"),
        (table("") + table(""), "FILE05"),
        ('<table:table table:name=""/>', "FILE02"),
    ],
)
def test_what_is_not_safe_is_refused(body, code):
    with pytest.raises(UnreadableFile) as fault:
        read_returned(package(body), Path("a.ods"))
    assert fault.value.code == code


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"Basic__Standard__a.xml": b"<a/>"}, "FILE04"),
        ({"META-INF__manifest.xml": b"<manifest><manifest:encryption-data/></manifest>"}, "FILE03"),
        ({"meta.xml": b"<!DOCTYPE a [<!ENTITY b 'c'>]><a/>"}, "FILE05"),
        ({"styles.xml": b"<a"}, "FILE02"),
        ({"CONTENT.XML": b"<a/>"}, "FILE05"),
    ],
)
def test_further_members_are_looked_at_too(more, code):
    with pytest.raises(UnreadableFile) as fault:
        read_returned(package(table(""), **more), Path("a.ods"))
    assert fault.value.code == code


def test_blank_cells_without_end_stay_within_the_limits():
    """Many open blanks count as cells."""
    rows = "".join(
        row(cell('table:style-name="open" table:number-columns-repeated="700"'),
            attributes='table:number-rows-repeated="900"')
        for _ in range(2)
    )
    with pytest.raises(UnreadableFile, match="far too many cells"):
        read_returned(package(table(rows)), Path("a.ods"))


def test_a_document_that_is_cut_anywhere_is_told():
    data = package(table(row(cell('office:value-type="float" office:value="1"', "1"))))
    for end in range(60, len(data), 97):
        with pytest.raises(UnreadableFile):
            read_open_document(data[:end], Path("a.ods"), Limits())


def test_a_number_of_decimals_with_thousands_of_digits_is_read(monkeypatch):
    """As a number with many decimals: it is the look of a cell, and says nothing of what was typed."""
    long = STYLES.replace('number:decimal-places="3"', f'number:decimal-places="{"9" * 5000}"')
    monkeypatch.setitem(globals(), "STYLES", long)
    number = 'table:style-name="open" office:value-type="float" office:value="1.5"'
    read = sheet(table(row(cell(number, "1.5"))))
    assert read.cells["A1"].value == 1.5
