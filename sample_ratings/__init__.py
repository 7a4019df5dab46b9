"""A complete invented season: Lantern Coast roller hockey 2031, with 2030 for the earlier editions."""
