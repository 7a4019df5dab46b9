"""Sell sheets: what a maker says of packing, prices, promises and days before a release."""

from rating.release.intake.sell_sheet.reader import Found, formats_of, is_sell_sheet, read, states_day

__all__ = ["Found", "formats_of", "is_sell_sheet", "read", "states_day"]
