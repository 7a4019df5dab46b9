"""The season as a workbook that recomputes: `write_workbook` to a file, `workbook_bytes` as bytes.

Private: `writing` puts together what `contents` gathers, a module a sheet (`standings_sheet`, `sorted_sheet`,
`reasons_sheet`, `sure_sheet`, `release_sheet`, `method_sheet`); `positions` says where cells lie, `formulas`
what they give, `styles` how they look, `cells` what they may hold, and through `sheet_writer` all is written.
"""

from rating.export.workbook.writing import workbook_bytes, write_workbook

__all__ = ["workbook_bytes", "write_workbook"]
