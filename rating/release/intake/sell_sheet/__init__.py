"""Sell sheets: what a maker says of packing, prices, promises and days before a release."""

from rating.release.intake.sell_sheet.reader import Found, is_sell_sheet, read

__all__ = ["Found", "is_sell_sheet", "read"]
