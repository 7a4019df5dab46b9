"""Run inside a spreadsheet program's Python: set the points of a workbook and read back what it works out.

    python3 recalculate.py PIPE WORKBOOK QUESTIONS ANSWERS

QUESTIONS is JSON: a list of rows of points (numbers, text or null). ANSWERS gets, before the first row, every
formula cell of the workbook, sheet by sheet; then for each row the grades, ranks, movements, verdicts and
places in the class of the sheet Standings, and the titles of the sheet Sorted.
"""

import json
import os
import sys
import time

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.sheet.CellFlags import FORMULA


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


def main():
    pipe, workbook, questions, answers = sys.argv[1:]
    desktop = connect(pipe)
    hidden = PropertyValue()
    hidden.Name, hidden.Value = "Hidden", True
    document = desktop.loadComponentFromURL(uno.systemPathToFileUrl(workbook), "_blank", 0, (hidden,))
    found = {"formulas": formulas(document), "rows": []}
    weights, grades, ranks = (named(document, name) for name in ("weights", "grades", "ranks"))
    sheet = ranks.Spreadsheet
    first = ranks.RangeAddress

    def beside(column):
        return sheet.getCellRangeByPosition(column, first.StartRow, column, first.EndRow)

    moved, verdicts, in_class = beside(1), beside(5), beside(7)
    columns = {"grades": grades, "ranks": ranks, "moved": moved, "verdicts": verdicts, "in_class": in_class}
    size = first.EndRow - first.StartRow
    columns["sorted"] = document.Sheets.getByName("Sorted").getCellRangeByPosition(2, 5, 2, 5 + size)
    with open(questions, encoding="utf-8") as file:
        rows = json.load(file)
    for row in rows:
        weights.setDataArray((tuple("" if one is None else one for one in row),))
        document.calculate()
        found["rows"].append(
            {name: [line[0] for line in one.getDataArray()] for name, one in columns.items()}
        )
    with open(answers, "w", encoding="utf-8") as file:
        json.dump(found, file)
    document.close(True)
    desktop.terminate()
    # the bridge to a program that has ended may crash while Python takes it down: nothing is left to do
    os._exit(0)


main()
