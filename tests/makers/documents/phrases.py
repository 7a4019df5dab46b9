"""Numbers, money, days, runs, odds and kinds in words, each in several forms."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from makers.dice import Dice
from makers.documents.layout import Layout
from makers.truth.release import Format, Rung, Subset

_SMALL = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
_ORDINALS = (
    "", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth",
    "nineteenth",
    "twentieth",
)  # fmt: skip
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November",
    "December",
)  # fmt: skip
_SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "CAD": "C$", "SEK": "kr", "AUD": "A$"}
_KIND_WORDS = {
    "base": ("base cards", "the base set", "regular cards"),
    "insert": ("inserts", "insert cards"),
    "autograph": ("autographs", "autograph cards", "signatures"),
    "relic": ("relics", "relic cards", "memorabilia cards"),
    "autograph relic": ("autograph relics", "signed relic cards", "autographed memorabilia cards"),
}
_TYPE_WORDS = {
    "base": ("Base", "Base card", "BASE"),
    "insert": ("Insert", "Insert card", "INS"),
    "autograph": ("Autograph", "Auto", "AUTO"),
    "relic": ("Relic", "Memorabilia", "RELIC"),
    "autograph relic": ("Autograph Relic", "Auto/Relic", "AUTO RELIC"),
}
_SIGNED = {
    "card": ("signed on card", "on-card", "signed on the card itself"),
    "sticker": ("on stickers", "sticker"),
}
_WORN = {
    "game-worn": ("game-worn", "worn in a game"),
    "player-worn": ("player-worn", "worn by the player"),
    "event-worn": ("event-worn", "worn at an event"),
    "unattributed": ("not from any particular game or event", "not tied to any game, event or season"),
}


def small(number: Decimal | int, dice: Dice) -> str:
    """A count, in words where it is small and chance has it."""
    if number == int(number) and 0 < number < len(_SMALL) and dice.chance(0.6):
        return _SMALL[int(number)]
    return f"{number:f}" if isinstance(number, Decimal) else str(number)


def ordinal(number: int) -> str:
    """First, second, ... or 24th."""
    if number < len(_ORDINALS):
        return _ORDINALS[number]
    ending = "th" if number % 100 in {11, 12, 13} else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def amount(value: Decimal, layout: Layout, *, thousands: bool = True) -> str:
    """An amount without its currency, with the season's decimal mark."""
    text = f"{value:,.2f}" if thousands else f"{value:.2f}"
    return text.translate(str.maketrans(",.", ".,")) if layout.has("decimal comma") else text


def money(value: Decimal, layout: Layout, dice: Dice) -> str:
    """An amount with its currency."""
    currency = layout["currency"]
    sign, number = _SIGNS[currency], amount(value, layout)
    if currency == "SEK":
        return dice.pick((f"{number} kr", f"SEK {number}", f"{number} SEK"))
    return dice.pick((f"{sign}{number}", f"{sign}{number}", f"{sign} {number}", f"{number} {currency}"))


def day_text(day: date, layout: Layout, form: str) -> str:
    """A day in a form of the grammar; numbers alone follow the season's order."""
    month = _MONTHS[day.month - 1]
    if form == "long":
        return f"{day.day} {month} {day.year}"
    if form == "american":
        return f"{month} {day.day}, {day.year}"
    if form == "short":
        return f"{day.day} {month[:3]} {day.year}"
    if form == "numeric":
        order = layout["date order"]
        if order == "day first":
            return f"{day.day:02d}.{day.month:02d}.{day.year}"
        if order == "month first":
            return f"{day.month:02d}/{day.day:02d}/{day.year}"
    return day.isoformat()


def run_text(run: int, form: str) -> str:
    """A print run beside a name."""
    if run == 1 and form != "number":
        return "1/1" if form in {"stroke", "hash"} else "one of one"
    forms = {
        "stroke": "/{}",
        "hash": "#'d {}",
        "to": "numbered to {}",
        "copies": "{} copies",
        "number": "#/{}",
    }
    return forms[form].format(run)


def run_cell(run: int, form: str) -> Cell:
    """A print run in a column of its own."""
    return run if form == "number" else ("1/1" if run == 1 and form == "stroke" else run_text(run, form))


Cell = str | int


def rung_text(rung: Rung, layout: Layout, formats: Sequence[Format]) -> str:
    """A parallel with its run and where it falls: 'Rust (numbered to 199, Kiosk only)'."""
    style = layout["ladder sentence"]
    parts = [run_text(rung.run, layout["run form"])] if rung.run else []
    if not rung.run and style == "semicolons":
        parts.append("unnumbered")
    if rung.formats:
        name = next(one.name for one in formats if one.key == rung.formats[0])
        parts.append(f"{name} only" if layout["exclusives"] == "brackets" else f"only in {name}")
    if not parts:
        return rung.name
    if style == "brackets" or len(parts) > 1:
        return f"{rung.name} ({', '.join(parts)})"
    if style == "of" and rung.run:
        return f"{rung.name}: {parts[0]}"
    return (
        f"{rung.name} ({parts[0]})" if parts[0] == "unnumbered" or rung.formats else f"{rung.name} {parts[0]}"
    )


def ladder_text(rungs: Sequence[Rung], layout: Layout, formats: Sequence[Format]) -> str:
    """A ladder in one line."""
    sign = (
        "; "
        if layout["ladder sentence"] in {"semicolons", "of"} or any(one.formats for one in rungs)
        else ", "
    )
    return sign.join(rung_text(one, layout, formats) for one in rungs)


def kind_words(subset: Subset, dice: Dice, *, attributes: bool) -> str:
    """What a subset is, as a legend says it: 'autographs, signed on card'."""
    text = dice.pick(_KIND_WORDS[subset.kind])
    if attributes:
        extra = [dice.pick(_SIGNED[subset.signed])] if subset.signed else []
        extra += [dice.pick(_WORN[subset.relic])] if subset.relic else []
        text = ", ".join((text, *extra))
    if subset.variation:
        text += ", same numbers as the base set with another picture"
    return text


def type_word(subset: Subset, choice: int) -> str:
    """What stands in a column of kinds; the choice is one of three habits."""
    return _TYPE_WORDS[subset.kind][choice % 3]


def odds_text(packs: Decimal, layout: Layout, *, form: str = "") -> Cell:
    """Odds per pack in a form of the grammar, with the season's marks."""
    number = f"{packs:,f}" if packs != int(packs) else f"{int(packs):,}"
    if layout.has("decimal comma"):
        number = number.translate(str.maketrans(",.", ".,"))
    chosen = form or layout["odds form"]
    if chosen == "number" and packs == int(packs):
        return int(packs)
    forms = {"colon": "1:{}", "in": "1 in {}", "number": "{}", "stroke": "1/{}"}
    return forms[chosen].format(number)
