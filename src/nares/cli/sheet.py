"""``nares reps import-sheet``: a trainer's own spreadsheet, looked at first, then kept."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from nares.base.errors import WrongUse
from nares.cli.options import by_option, data_option, give, json_option

Pairs = tuple[str, ...]


@click.command("import-sheet")
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--sheet", default="", help="Which sheet of the file. Default: the first that holds anything.")
@click.option("--map", "columns", multiple=True, metavar="FIELD=COLUMN", help="Which column says what.")
@click.option("--reps", "series", multiple=True, metavar="FIELD=COL1,COL2,…", help="One column for each rep.")
@click.option("--word", "words", multiple=True, metavar="FIELD:WORD=VALUE", help="What a word means.")
@click.option("--give", "given", multiple=True, metavar="FIELD=VALUE", help="What holds for the whole sheet.")
@click.option("--order", default=None, metavar="'day first'|'month first'", help="How days are written.")
@click.option("--unit", "units", multiple=True, metavar="FIELD=s|ms", help="What bare numbers count.")
@click.option("--zone", default=None, help="Time zone of the times. Default: this computer's.")
@click.option("--naming", default=None, help="How sessions are called, as the preview says.")
@click.option("--carry", "carried", multiple=True, metavar="FIELD", help="Empty cells take the value above.")
@click.option("--header-line", type=int, default=None, help="The last line of the header; 0 for none.")
@click.option("--use", default="", metavar="NAME", help="Use the mapping kept under this name.")
@click.option("--keep-as", default="", metavar="NAME", help="Keep the mapping under this name.")
@click.option("--only-new", is_flag=True, help="Leave out sessions that are on the record already.")
@click.option("--add-dogs", is_flag=True, help="Put dogs on the record that are not there yet.")
@click.option("--preview", is_flag=True, help="Only show what would be kept.")
@click.option("--as-proposed", is_flag=True, help="Keep by the proposed mapping, having looked at it.")
@by_option
@data_option
@json_option
def import_sheet(
    file: Path,
    sheet: str,
    use: str,
    keep_as: str,
    only_new: bool,
    add_dogs: bool,
    preview: bool,
    as_proposed: bool,
    by: str | None,
    data: Path,
    json_to: str | None,
    **said: Any,
) -> None:
    """Bring a trainer's own spreadsheet (CSV, XLSX, XLS, ODS) into the record, with the call after it.

    Without --map, --use or --as-proposed nothing is kept: the proposed mapping and what it would give are
    shown.
    """
    from nares.app import jobs
    from nares.app.answers import answer
    from nares.app.deeds import ImportSheet, LookAtSheet
    from nares.app.desk import open_desk

    with open_desk(data, person=by) as desk:
        look = LookAtSheet(file, sheet, None, use, file.name, add_dogs, only_new)
        first = jobs.sheet_page(desk, _with_header(look, said["header_line"]))
        mapping = changed(dict(first.mapping), said)
        look = LookAtSheet(file, sheet, mapping, "", file.name, add_dogs, only_new)
        page = jobs.sheet_page(desk, look)
        looked_at = bool(use or as_proposed or said["columns"] or said["series"])
        if preview or not looked_at:
            give(answer("sheet/1", _plain(page)), "\n".join(in_words(page, asked=preview)), json_to)
            return
        receipt = jobs.import_sheet(desk, ImportSheet(look, desk.person, page.seen, keep_as))
        give(answer("sheet-kept/1", {"entry": receipt.entry, "said": receipt.said}), receipt.said, json_to)


def _with_header(look: Any, header_line: int | None) -> Any:
    from dataclasses import replace

    return look if header_line is None else replace(look, header_line=header_line)


def _plain(page: Any) -> dict[str, Any]:
    import msgspec

    values: dict[str, Any] = msgspec.to_builtins(page)
    return values


def changed(mapping: dict[str, Any], said: dict[str, Any]) -> dict[str, Any]:
    """A mapping with what the command line says put in; an empty value takes a field out.

    Raises:
        WrongUse: If an option is not a pair.
    """
    columns, series = dict(mapping["columns"]), dict(mapping["series"])
    for name, column in _pairs(said["columns"], "--map"):
        series.pop(name, None)
        columns = {key: value for key, value in columns.items() if key != name and value != column}
        columns |= {name: column} if column else {}
    for name, heads in _pairs(said["series"], "--reps"):
        series[name] = heads.split(",")
        columns.pop(name, None)
    words = {name: dict(known) for name, known in mapping["words"].items()}
    for name, meant in _pairs(said["words"], "--word", ":"):
        word, sign, value = meant.rpartition("=")
        if not sign:
            raise WrongUse(f"{name}:{meant} says no value. Write --word FIELD:WORD=VALUE, like met:hurra=1.")
        words.setdefault(name, {})[word.casefold()] = value
    given = {**mapping["given"], **dict(_pairs(said["given"], "--give"))}
    return mapping | {
        "columns": columns,
        "series": series,
        "words": words,
        "one_line": "session" if series else "rep",
        "given": {name: value for name, value in given.items() if value and name not in columns},
        "units": {**mapping["units"], **dict(_pairs(said["units"], "--unit"))},
        "carried": list(dict.fromkeys([*mapping["carried"], *said["carried"]])),
        **{name: said[name] for name in ("order", "zone", "naming") if said[name] is not None},
    }


def _pairs(said: Sequence[str], option: str, sign: str = "=") -> Iterator[tuple[str, str]]:
    for pair in said:
        name, found, value = pair.partition(sign)
        if not found:
            raise WrongUse(f"{option} {pair} is no pair. Write {option} FIELD{sign}…, without blanks.")
        yield name.strip(), value.strip()


def in_words(page: Any, *, asked: bool) -> Iterator[str]:
    """What is shown of a sheet before it is kept."""
    mapping = page.mapping
    sheets = ", ".join(page.sheets)
    yield f"{page.name}, sheet {page.sheet} of {sheets}, header on line {mapping['header_line']}."
    for column in page.columns:
        yield f"  {column.letter} {column.head}: {column.field or 'not used'} ({', '.join(column.examples)})"
    for name, words in page.words.items():
        said = ", ".join(f"{word.word or '(empty)'} = {word.value or '?'}" for word in words)
        yield f"  words of {name}: {said}"
    for name, value in mapping["given"].items():
        yield f"  {name} for the whole sheet: {value}"
    yield f"  sessions are called by: {mapping['naming']}; days: {mapping['order'] or 'order not said'}"
    yield from (f"  {note}" for note in page.notes)
    yield from (f"  passed over, {one.where}: {one.text}" for one in page.passed_over)
    if page.findings:
        yield f"{len(page.findings)} to put right before anything is kept:"
        yield from (f"  {finding.where}: {finding.text}" for finding in page.findings)
        return
    yield f"{page.reps} reps of {len(page.sessions)} sessions of {', '.join(page.dogs_in_it)}. The first:"
    for one in page.first_reps:
        rep = one.rep
        hold = "" if rep.hold_s is None else f", hold {rep.hold_s:g} s"
        met = "met" if rep.met else "not met"
        yield f"  line {one.line}: {rep.session}, rep {rep.rep}, {rep.step}, {met}{hold}"
    how = "" if asked else " To keep it: --as-proposed, or change the mapping with --map."
    yield f"Nothing was kept.{how}"
