"""Small workbooks made by hand: as much of XLSX, XLS and ODS as a table needs, by the standard library."""

import struct
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


def make_xls(to: Path, sheets: dict[str, Rows]) -> Path:
    """Write an old binary workbook: BIFF8 records in a compound file ([MS-XLS], [MS-CFB])."""
    bodies = [_biff_sheet(rows) for rows in sheets.values()]
    names = [
        _record(0x85, struct.pack("<IHBB", 0, 0, len(name), 0) + name.encode("ascii")) for name in sheets
    ]
    formats = b"".join(_record(0xE0, struct.pack("<HH16x", 0, number)) for number in (0, 14))
    head = _record(0x809, struct.pack("<HHHHII", 0x0600, 0x0005, 0, 0, 0, 0x0600)) + formats
    start = len(head) + sum(map(len, names)) + len(_record(0x0A))
    for place, (name, body) in enumerate(zip(sheets, bodies, strict=True)):
        said = struct.pack("<IHBB", start, 0, len(name), 0)
        names[place] = _record(0x85, said + name.encode("ascii"))
        start += len(body)
    stream = head + b"".join(names) + _record(0x0A) + b"".join(bodies)
    to.write_bytes(_compound(stream))
    return to


def _record(kind: int, data: bytes = b"") -> bytes:
    return struct.pack("<HH", kind, len(data)) + data


def _biff_sheet(rows: Rows) -> bytes:
    width = max(map(len, rows), default=0)
    parts = [_record(0x809, struct.pack("<HHHHII", 0x0600, 0x0010, 0, 0, 0, 0x0600))]
    parts.append(_record(0x200, struct.pack("<IIHHH", 0, len(rows), 0, width, 0)))
    for line, row in enumerate(rows):
        parts += [_biff_cell(line, column, cell) for column, cell in enumerate(row) if cell is not None]
    return b"".join([*parts, _record(0x0A)])


def _biff_cell(line: int, column: int, cell: Cell) -> bytes:
    if isinstance(cell, bool):
        return _record(0x205, struct.pack("<HHHBB", line, column, 0, int(cell), 0))
    if isinstance(cell, date):
        days = cell.toordinal() - _DAYS_FROM.toordinal()
        return _record(0x203, struct.pack("<HHHd", line, column, 1, float(days)))
    if isinstance(cell, int | float):
        return _record(0x203, struct.pack("<HHHd", line, column, 0, float(cell)))
    text = str(cell)
    said = struct.pack("<HHHHB", line, column, 0, len(text), 1) + text.encode("utf-16-le")
    return _record(0x204, said)


def _compound(stream: bytes) -> bytes:
    """One stream called Workbook in a compound file of 512-byte sectors: table, directory, stream."""
    stream = stream.ljust(4096, b"\x00")  # a shorter one would need a second table
    stream += bytes(-len(stream) % 512)
    sectors = len(stream) // 512
    last, free, table = 0xFFFFFFFE, 0xFFFFFFFF, 0xFFFFFFFD
    chain = [table, last, *(n + 1 for n in range(2, sectors + 1)), last]
    fat = struct.pack(f"<{len(chain)}I", *chain).ljust(512, b"\xff")
    header = bytes.fromhex("d0cf11e0a1b11ae1") + bytes(16) + struct.pack("<HHHHH6x", 0x3E, 3, 0xFFFE, 9, 6)
    header += struct.pack("<IIIIIIIII", 0, 1, 1, 0, 4096, last, 0, last, 0)
    header += struct.pack("<109I", 0, *[free] * 108)
    return (
        header
        + fat
        + _entry("Root Entry", 5, last, 0, 1)
        + _entry("Workbook", 2, 2, len(stream))
        + bytes(256)
        + stream
    )


def _entry(name: str, kind: int, start: int, size: int, child: int = 0xFFFFFFFF) -> bytes:
    said = name.encode("utf-16-le")
    head = said.ljust(64, b"\x00") + struct.pack("<HBB", len(said) + 2, kind, 1)
    return (
        head
        + struct.pack("<III", 0xFFFFFFFF, 0xFFFFFFFF, child)
        + bytes(36)
        + struct.pack("<IQ", start, size)
    )
