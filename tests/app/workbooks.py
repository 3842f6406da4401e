"""Small workbooks made by hand: as much of XLSX and ODS as a table needs, by the standard library alone."""

import zipfile
from datetime import date, datetime, time
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

Cell = str | int | float | bool | date | datetime | time | None
Rows = list[list[Cell]]

_DAYS_FROM = datetime(1899, 12, 30)  # noqa: DTZ001 - spreadsheets count days without a zone
_STYLES = (
    '<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    '<fonts count="1"><font/></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders>'
    '<cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="4"><xf/>'
    '<xf numFmtId="14" applyNumberFormat="1"/><xf numFmtId="22" applyNumberFormat="1"/>'
    '<xf numFmtId="20" applyNumberFormat="1"/></cellXfs></styleSheet>'
)
_RELS = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">{}</Relationships>'
)
_DOC = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


def make_xlsx(to: Path, sheets: dict[str, Rows], *, merged: str = "") -> Path:
    """Write an Office Open XML workbook (ECMA-376) with inline strings."""
    names = list(sheets)
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("[Content_Types].xml", _content_types(len(names)))
        book.writestr("_rels/.rels", _RELS.format(_rel(1, "officeDocument", "xl/workbook.xml")))
        listed = "".join(
            f'<sheet name={quoteattr(name)} sheetId="{n}" r:id="rId{n}"/>' for n, name in enumerate(names, 1)
        )
        book.writestr(
            "xl/workbook.xml",
            '<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
            f'xmlns:r="{_DOC}"><sheets>{listed}</sheets></workbook>',
        )
        rels = "".join(_rel(n, "worksheet", f"worksheets/sheet{n}.xml") for n in range(1, len(names) + 1))
        rels += _rel(len(names) + 1, "styles", "styles.xml")
        book.writestr("xl/_rels/workbook.xml.rels", _RELS.format(rels))
        book.writestr("xl/styles.xml", _STYLES)
        for n, rows in enumerate(sheets.values(), 1):
            book.writestr(f"xl/worksheets/sheet{n}.xml", _sheet_xml(rows, merged))
    return to


def _content_types(sheets: int) -> str:
    kinds = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    parts = "".join(
        f'<Override PartName="/xl/worksheets/sheet{n}.xml" ContentType="{kinds}.worksheet+xml"/>'
        for n in range(1, sheets + 1)
    )
    return (
        '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{kinds}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{kinds}.styles+xml"/>{parts}</Types>'
    )


def _rel(number: int, kind: str, target: str) -> str:
    return f'<Relationship Id="rId{number}" Type="{_DOC}/{kind}" Target="{target}"/>'


def _sheet_xml(rows: Rows, merged: str) -> str:
    lines = "".join(
        f'<row r="{n}">' + "".join(_xlsx_cell(cell, n, col) for col, cell in enumerate(row)) + "</row>"
        for n, row in enumerate(rows, 1)
    )
    over = f'<mergeCells count="1"><mergeCell ref="{merged}"/></mergeCells>' if merged else ""
    return (
        '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        f"<sheetData>{lines}</sheetData>{over}</worksheet>"
    )


def _xlsx_cell(cell: Cell, line: int, column: int) -> str:
    at = f"{chr(ord('A') + column)}{line}"
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return f'<c r="{at}" t="b"><v>{int(cell)}</v></c>'
    if isinstance(cell, datetime):
        return f'<c r="{at}" s="2"><v>{(cell - _DAYS_FROM).total_seconds() / 86400}</v></c>'
    if isinstance(cell, date):
        return f'<c r="{at}" s="1"><v>{cell.toordinal() - _DAYS_FROM.toordinal()}</v></c>'
    if isinstance(cell, time):
        return f'<c r="{at}" s="3"><v>{(cell.hour * 60 + cell.minute) / 1440}</v></c>'
    if isinstance(cell, int | float):
        return f'<c r="{at}"><v>{cell}</v></c>'
    return f'<c r="{at}" t="inlineStr"><is><t>{escape(cell)}</t></is></c>'


def make_ods(to: Path, sheets: dict[str, Rows]) -> Path:
    """Write an OpenDocument spreadsheet (ISO/IEC 26300)."""
    tables = "".join(
        f"<table:table table:name={quoteattr(name)}>"
        + "".join("<table:table-row>" + "".join(map(_ods_cell, row)) + "</table:table-row>" for row in rows)
        + "</table:table>"
        for name, rows in sheets.items()
    )
    spaces = " ".join(
        f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{short}:1.0"'
        for short in ("office", "table", "text")
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    with zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("mimetype", kind, zipfile.ZIP_STORED)
        book.writestr(
            "content.xml",
            f"<office:document-content {spaces}><office:body><office:spreadsheet>{tables}"
            "</office:spreadsheet></office:body></office:document-content>",
        )
        manifest = "urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"
        book.writestr(
            "META-INF/manifest.xml",
            f'<manifest:manifest xmlns:manifest="{manifest}"><manifest:file-entry manifest:full-path="/" '
            f'manifest:media-type="{kind}"/></manifest:manifest>',
        )
    return to


def _ods_cell(cell: Cell) -> str:
    if cell is None:
        return "<table:table-cell/>"
    if isinstance(cell, bool):
        value = f'office:value-type="boolean" office:boolean-value="{str(cell).lower()}"'
    elif isinstance(cell, date):
        value = f'office:value-type="date" office:date-value="{cell.isoformat()}"'
    elif isinstance(cell, time):
        value = f'office:value-type="time" office:time-value="PT{cell.hour}H{cell.minute}M{cell.second}S"'
    elif isinstance(cell, int | float):
        value = f'office:value-type="float" office:value="{cell}"'
    else:
        value = 'office:value-type="string"'
    return f"<table:table-cell {value}><text:p>{escape(str(cell))}</text:p></table:table-cell>"
