"""Run inside a spreadsheet program's Python: do with a workbook what people do, and read what it works out.

    python3 recalculate.py PIPE WORKBOOK QUESTIONS ANSWERS

QUESTIONS is JSON, a list of steps, each a list of a word and what it needs:

    ["points", ROW]             the points of the criteria: numbers, text or null
    ["scores", {"R:C": INPUT}]  typed into cells of the named range `scores`, counted from 0
    ["sort", COLUMN, RISING]    the rows of releases by a column of the sheet, counted from 0
    ["filter", COLUMN, WORDS]   only the rows whose cell says so

ANSWERS gets every formula cell of the workbook as it was opened, sheet by sheet, and after each step the
named columns of the sheet Standings, the state of the points, the number of scores that do not count, the
titles of the sheet Sorted; after sorting and filtering also the rows that are shown, where each link leads
and what each release's own sheet says (grade, place).
"""

import json
import os
import sys
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.sheet import TableFilterField
from com.sun.star.sheet.CellFlags import FORMULA
from com.sun.star.sheet.FilterOperator import EQUAL
from com.sun.star.table import TableSortField


def connect(pipe):
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    for _ in range(240):
        try:
            context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
            return context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        except Exception:
            time.sleep(0.25)
    raise SystemExit("the spreadsheet program does not answer")


def named(document, name):
    return document.NamedRanges.getByName(name).getReferredCells()


def formulas(document):
    found = {}
    for sheet in document.Sheets:
        for area in sheet.queryContentCells(FORMULA).RangeAddresses:
            block = sheet.getCellRangeByPosition(area.StartColumn, area.StartRow, area.EndColumn, area.EndRow)
            for down, row in enumerate(block.getDataArray()):
                for across, value in enumerate(row):
                    found[f"{sheet.Name}!{area.StartRow + down + 1}:{area.StartColumn + across + 1}"] = value
    return found


NAMED = (
    "grades", "ranks", "moved", "verdicts", "places_in_class", "states", "lowest", "highest", "what_is_open",
    "releases", "points_state", "wrong_scores",
)  # fmt: skip
FIXED = {"Standings", "Sorted", "Reasons", "How sure", "Method"}


def rows(document):
    """All cells of the releases on the sheet Standings, the hidden ones too."""
    place = named(document, "ranks")
    sheet, where = place.Spreadsheet, place.RangeAddress
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    last = cursor.RangeAddress.EndColumn
    return sheet.getCellRangeByPosition(0, where.StartRow, last, where.EndRow)


def points(document, row):
    named(document, "weights").setDataArray((tuple("" if one is None else one for one in row),))


def scores(document, typed):
    area = named(document, "scores")
    for place, said in typed.items():
        down, across = map(int, place.split(":"))
        area.getCellByPosition(across, down).setFormula(said)


def sort(document, column, rising):
    field = TableSortField()
    field.Field, field.IsAscending = column, rising
    header, fields = PropertyValue(), PropertyValue()
    header.Name, header.Value = "ContainsHeader", False
    fields.Name, fields.Value = "SortFields", uno.Any("[]com.sun.star.table.TableSortField", (field,))
    rows(document).sort((header, fields))


def only(document, column, words):
    area = rows(document)
    where = area.RangeAddress
    headed = area.Spreadsheet.getCellRangeByPosition(0, where.StartRow - 1, where.EndColumn, where.EndRow)
    descriptor = headed.createFilterDescriptor(True)
    field = TableFilterField()
    field.Field, field.IsNumeric, field.Operator, field.StringValue = column, False, EQUAL, words
    descriptor.ContainsHeader = True
    descriptor.setFilterFields((field,))
    headed.filter(descriptor)


STEPS = {"points": points, "scores": scores, "sort": sort, "filter": only}


def links(document):
    """Where the link of each row leads, by the slug beside it."""
    area = named(document, "releases")
    found = {}
    for down in range(area.RangeAddress.EndRow - area.RangeAddress.StartRow + 1):
        cell = area.getCellByPosition(0, down)
        fields = cell.getTextFields()
        found[cell.String] = [fields.getByIndex(one).URL for one in range(fields.Count)]
    return found


def own_sheets(document):
    return {
        sheet.Name: list(sheet.getCellRangeByPosition(2, 7, 3, 7).getDataArray()[0])
        for sheet in document.Sheets
        if sheet.Name not in FIXED
    }


def shown_rows(document):
    area = rows(document)
    where = area.RangeAddress
    return [
        area.Spreadsheet.getCellByPosition(0, row).String
        for row in range(where.StartRow, where.EndRow + 1)
        if area.Spreadsheet.Rows.getByIndex(row).IsVisible
    ]


def main():
    pipe, workbook, questions, answers = sys.argv[1:]
    desktop = connect(pipe)
    hidden = PropertyValue()
    hidden.Name, hidden.Value = "Hidden", True
    document = desktop.loadComponentFromURL(uno.systemPathToFileUrl(workbook), "_blank", 0, (hidden,))
    found = {"formulas": formulas(document), "steps": []}
    ranks = named(document, "ranks").RangeAddress
    size = ranks.EndRow - ranks.StartRow
    ordered = document.Sheets.getByName("Sorted").getCellRangeByPosition(2, 5, 2, 5 + size)
    with open(questions, encoding="utf-8") as file:
        steps = json.load(file)
    for word, *needs in steps:
        STEPS[word](document, *needs)
        document.calculate()
        told = {name: [line[0] for line in named(document, name).getDataArray()] for name in NAMED}
        told["sorted"] = [line[0] for line in ordered.getDataArray()]
        if word in {"sort", "filter"}:
            told["shown"] = shown_rows(document)
            told["own"], told["links"] = own_sheets(document), links(document)
        found["steps"].append(told)
    with open(answers, "w", encoding="utf-8") as file:
        json.dump(found, file)
    document.close(True)
    desktop.terminate()
    # the bridge to a program that has ended may crash while Python takes it down: nothing is left to do
    os._exit(0)


main()
