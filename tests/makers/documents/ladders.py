"""Ladders on a sheet or in a text of their own."""

from __future__ import annotations

from makers.dice import Dice
from makers.documents.banners import title_lines
from makers.documents.cells import ladder_says
from makers.documents.grid import Cell, Line, Notes, Sheet, text_line
from makers.documents.layout import Layout
from makers.documents.phrases import ladder_text, run_cell
from makers.documents.words import headings
from makers.truth.facts import Key
from makers.truth.release import Release


def ladder_sheet(seed: object, release: Release, layout: Layout, notes: Notes) -> Sheet | None:
    """The ladders as a document of their own, None where the layout tells them elsewhere."""
    dice = Dice(seed, "ladders")
    if layout["ladders"] == "table":
        notes.mark("a table of ladders")
        return _table(dice, release, layout, notes)
    if layout["ladders"] == "text":
        notes.mark("a text of ladders")
        return _text(dice, release, layout)
    return None


def _table(dice: Dice, release: Release, layout: Layout, notes: Notes) -> Sheet:
    lines = title_lines(dice, release, layout, "parallels")
    exclusive = any(rung.formats for _, rung in release.rungs())
    columns = ["subset", "parallel", "run", *(["format"] if exclusive else [])]
    if layout["headings"] != "none":
        lines.append(Line(list(headings(dice, layout["headings"], columns, notes)), role="heading"))
    else:
        notes.mark("no headings")
        lines.append(Line(["Parallels"], role="title"))
    how = layout["subset cells"]
    merges = []
    for subset in release.subsets:
        first = len(lines)
        for rung in subset.rungs:
            name = next((one.name for one in release.formats if one.key in rung.formats), "")
            run = run_cell(rung.run, layout["run form"]) if rung.run else dice.pick(("", "unnumbered", "-"))
            cells: list[Cell] = [
                subset.name if how == "every" or len(lines) == first else None,
                rung.name,
                run,
            ]
            says = ladder_says(subset, only=rung)
            if exclusive:
                cells.append(f"{name} only" if name else None)
                says.append(Key("parallels", rung.index, "formats"))
            lines.append(Line(cells, says, "ladder"))
        if how == "merged" and layout["ladders in"] == "xlsx" and len(lines) > first + 1:
            merges.append((0, first, len(lines) - 1))
            notes.mark("merged subset cells")
    return Sheet("Parallels", lines, merges=merges)


def _text(dice: Dice, release: Release, layout: Layout) -> Sheet:
    lines = [
        text_line(
            f"{release.year} {release.line}: {dice.pick(('parallels', 'the ladders', 'all versions'))}",
            role="title",
        )
    ]
    beneath = dice.chance(0.4)
    for subset in release.subsets:
        if not subset.rungs:
            continue
        told, says = ladder_text(subset.rungs, layout, release.formats), ladder_says(subset)
        if beneath:
            lines += [
                Line([]),
                text_line(subset.name.upper(), role="banner"),
                text_line(told, says, "ladder"),
            ]
        else:
            lines.append(text_line(f"{subset.name}{dice.pick((': ', ' - '))}{told}", says, "ladder"))
    return Sheet("Parallels", lines, is_table=False)
