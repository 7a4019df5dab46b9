"""What is handed out, all from the same values, none of it before an embargo ends. Public:

- `workbook`: `write_workbook` and `workbook_bytes`, the season as a spreadsheet that recomputes
- `tables`: `write_tables`, standings, scores and reasons as CSV, JSON or Markdown
- `score_sheet`: a workbook in which somebody scores a release
- `pinned`: `correction`, the text to pin where a review was wrong
- `notices`: how the reviewer came by a product, and where people find help, in the words of every export

Private: `published`, the current reviews as they may be shown.
"""

__all__ = ["notices", "pinned", "score_sheet", "tables", "workbook"]
