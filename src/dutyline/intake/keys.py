"""Every key of a mapping file: what it takes and what it means. Reader and docs use this."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Takes = Literal["text", "texts", "row", "rows", "flag", "word", "table", "temperature", "speed"]


@dataclass(frozen=True, slots=True)
class Key:
    """One key."""

    name: str
    takes: Takes
    meaning: str
    choices: tuple[str, ...] = ()
    required: bool = False


TOP = (
    Key("schema", "row", "The form of this file: 1.", required=True),
    Key("line", "table", "Name, edition, date and currency of the line."),
    Key("conventions", "table", "Answers that hold for every table."),
    Key(
        "ours",
        "texts",
        "Files in our own form that lie beside the mapping and are read as they "
        "are: accessories.csv, audit.toml, pairings.csv and so on.",
    ),
    Key("table", "table", "One table of one file; as many as there are.", required=True),
)

LINE = (
    Key("name", "text", "Name of the line, as told in answers and reports."),
    Key("edition", "text", "Edition of the data."),
    Key("date", "text", "Date of the data: 2026-11-29."),
    Key("note", "text", "A remark on the edition."),
    Key("currency", "text", "Currency of the prices, three letters of ISO 4217: EUR."),
)

TABLE = (
    Key("into", "word", "What a row is: motors, gearheads, drives, brakes, resistors, curves, "
        "pairings or accessories.", required=True),
    Key("file", "text", "Name of the file, in the folder of the mapping or below it; * stands for "
        "any letters, then every such file is read.", required=True),
    Key("sheet", "text", "Sheet of a workbook; * for every sheet. Left out: the only one."),
    Key("heading", "rows", "Row of the headings as the editor counts, 1 where nothing is said; "
        "several rows are joined with blanks; 0 for none."),
    Key("units", "row", "Row of units, where there is one."),
    Key("first", "row", "First row of data; else the row below headings and units."),
    Key("last", "row", "Last row of data; else the last of the table."),
    Key("skip", "rows", "Rows between them that are no data."),
    Key("separator", "text", "Of a CSV file, where it is not found out."),
    Key("encoding", "text", "Of a CSV file, where it is not UTF-8: cp1252, latin-1, utf-16."),
    Key("decimal", "word", "Decimal mark of numbers written as text.", (".", ",")),
    Key("thousands", "word", "Mark between thousands.", (".", ",", " ", "'")),
    Key("unknown", "texts", "Cells that mean not known, without regard to capitals."),
    Key("strip", "texts", "Marks to leave out at the ends of a cell: footnotes, max., <=."),
    Key("turned", "flag", "True where products stand side by side and the figures below each "
        "other: rows and columns change places, headings then stand in columns."),
    Key("join", "flag", "True where the table adds columns to parts that another one has named."),
    Key("sort", "flag", "Curves: sort the points of each curve by speed."),
    Key("zero_below", "speed", "Curves: speeds nearer to zero count as zero."),
    Key("wide", "table", "Curves: headings that are numbers are speeds, the cells below them "
        "torques; wide = { speed = \"r/min\", torque = \"N*m\" } says their units."),
    Key("columns", "table", "Heading, or \"column C\", and what it is: a field, a table with "
        "field, unit and conventions, a list of those, or \"ignore\".", required=True),
    Key("constants", "table", "Fields that are the same in every row, as value with unit; {file} "
        "and {sheet} stand for their names."),
    Key("conventions", "table", "Answers that hold for the whole table."),
)  # fmt: skip

COLUMN = (
    Key("field", "word", "The field, by its name.", required=True),
    Key("unit", "text", "Its unit, where neither a unit row nor brackets in the heading say it; "
        "\"cell\" where each cell does."),
    Key("part", "word", "Which end of a cell that holds a range (200-230).", ("lower", "upper")),
    Key("values", "table", "Words of the table and ours: values = { ja = \"IP65\" }."),
    Key("repeat", "flag", "True where an empty cell repeats the one above it."),
    Key("list", "text", "What separates the items of one cell; ; where nothing is said."),
    Key("pair", "text", "What separates the two numbers of a point in one cell; : where nothing is "
        "said."),
    Key("factor", "text", "Load factor to which the times of an overload column belong."),
    Key("speed", "text", "Curves: unit of speeds in a cell of points."),
    Key("torque", "text", "Curves: unit of torques in a cell of points."),
)  # fmt: skip

IGNORE = "ignore"
POINTS = "points"
"""Field of a curve whose whole polyline stands in one cell."""
