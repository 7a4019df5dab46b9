"""How the workbook looks: one hue, ink on white, and the formats that cells are written with."""

from __future__ import annotations

from typing import Any

from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook

INK = "#1C2B33"
QUIET = "#62737C"
LINE = "#C9D5D8"
HUE = "#1F6F78"
TINT = "#E4F0F1"
OPEN = "#F7F9F9"
AWAY = "#D5DCDE"
# scores: pale is low, deep is high, one hue, and a colour means the same on every sheet
SCALE = {
    "type": "2_color_scale",
    "min_type": "num",
    "max_type": "num",
    "min_value": 0,
    "max_value": 100,
    "min_color": "#FFFFFF",
    "max_color": "#58A5AD",
}

RANK = "0"
TIED = '"="0'
MOVED = '"▲ "0;"▼ "0;"·"'
GRADE = "0.0"
POINTS = "General"
SHARE = "0.0%"
MONEY = "#,##0.00"
LIFT = "+0.0;-0.0;0.0"


class Styles:
    """Formats by their properties, each made once: a workbook keeps few styles."""

    def __init__(self, book: Workbook, **common: Any) -> None:
        self._book, self._common = book, common
        self._made: dict[tuple[tuple[str, Any], ...], Format] = {}

    def of(self, **properties: Any) -> Format:
        """The format with these properties over the common ones."""
        whole = {"font_color": INK, "valign": "vcenter", "font_size": 10, **self._common, **properties}
        name = tuple(sorted(whole.items()))
        if name not in self._made:
            self._made[name] = self._book.add_format(whole)
        return self._made[name]

    def bare(self, **properties: Any) -> Format:
        """A format with these properties alone, for a conditional format that changes nothing else."""
        name = ("bare", None), *sorted(properties.items())
        if name not in self._made:
            self._made[name] = self._book.add_format(properties)
        return self._made[name]

    @property
    def unlocked(self) -> Styles:
        """The same formats for cells that may be changed on a protected sheet."""
        return Styles(self._book, **self._common, locked=False)

    @property
    def title(self) -> Format:
        """The title of a sheet."""
        return self.of(bold=True, font_size=18, font_color=HUE)

    @property
    def heading(self) -> Format:
        """A heading inside a sheet."""
        return self.of(bold=True, font_size=12, font_color=HUE, bottom=1, bottom_color=HUE)

    @property
    def head(self) -> Format:
        """The head of a column of text."""
        return self._head(align="left", indent=1)

    @property
    def head_number(self) -> Format:
        """The head of a column of numbers."""
        return self._head(align="center")

    def _head(self, **properties: Any) -> Format:
        common = {"bold": True, "bg_color": TINT, "bottom": 1, "bottom_color": HUE, "text_wrap": True}
        return self.of(**common, valign="bottom", **properties)

    @property
    def words(self) -> Format:
        """Text in a table, wrapped; it stays text when a person edits the cell."""
        return self.of(text_wrap=True, bottom=1, bottom_color=LINE, indent=1, quote_prefix=True)

    @property
    def name(self) -> Format:
        """The name of a release in a table."""
        return self.of(bold=True, text_wrap=True, bottom=1, bottom_color=LINE, indent=1, quote_prefix=True)

    def number(self, shown: str, **more: Any) -> Format:
        """A number in a table."""
        return self.of(num_format=shown, align="center", bottom=1, bottom_color=LINE, **more)

    @property
    def loud(self) -> Format:
        """A sentence that must not be missed: the disclosure."""
        return self.of(
            text_wrap=True,
            bg_color=TINT,
            left=5,
            left_color=HUE,
            indent=1,
            font_size=11,
            quote_prefix=True,
        )

    @property
    def small_loud(self) -> Format:
        """The disclosure where little room is left for it."""
        return self.of(text_wrap=True, bg_color=TINT, font_size=9, valign="top", quote_prefix=True)

    @property
    def small_note(self) -> Format:
        """A remark where little room is left for it."""
        return self.of(text_wrap=True, font_color=QUIET, font_size=9, valign="top", quote_prefix=True)

    @property
    def note(self) -> Format:
        """A remark in quiet letters."""
        return self.of(text_wrap=True, font_color=QUIET, quote_prefix=True)

    @property
    def plain(self) -> Format:
        """Running text."""
        return self.of(text_wrap=True, quote_prefix=True)
