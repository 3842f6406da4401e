"""A trainer's own sheet becomes reps: cells, layout, mapping, reading. See the README of `nares.decide`."""

from nares.decide.sheets.cells import LONGEST_ROWS, WIDEST_COLUMNS, Sheet, sheet_of, text_of
from nares.decide.sheets.delimited import decode, sheet_of_text
from nares.decide.sheets.fields import FIELDS, SERIES, WORDS
from nares.decide.sheets.layout import Layout, lay_out
from nares.decide.sheets.mapping import CARRIED, GIVEN, NAMINGS, Mapping, as_plain, from_plain
from nares.decide.sheets.propose import propose, with_known_words, words_in
from nares.decide.sheets.reading import SheetRead, SheetRep, read_sheet

__all__ = [
    "CARRIED",
    "FIELDS",
    "GIVEN",
    "LONGEST_ROWS",
    "NAMINGS",
    "SERIES",
    "WIDEST_COLUMNS",
    "WORDS",
    "Layout",
    "Mapping",
    "Sheet",
    "SheetRead",
    "SheetRep",
    "as_plain",
    "decode",
    "from_plain",
    "lay_out",
    "propose",
    "read_sheet",
    "sheet_of",
    "sheet_of_text",
    "text_of",
    "with_known_words",
    "words_in",
]
