"""The trade's usual words, in one place: what stands over columns, and what headings and blurbs say.

A season adds words of its own to any column in season.toml, a release in release.toml. Words are compared
without regard to capitals, accents and most punctuation.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence

from rating.release.intake import wordlists

# ---------------------------------------------------------------- over the columns of checklists
CHECKLIST: dict[str, tuple[str, ...]] = {
    "number": (
        "card #",
        "card no",
        "card number",
        "card num",
        "card nr",
        "card",
        "card id",
        "card code",
        "#",
        "no",
        "nr",
        "num",
        "number",
        "cd #",
        "crd #",
        "cardnumber",
        "checklist #",
        "checklist number",
        "cl #",
        "n°",
        "card n°",
        "pos",
    ),
    "subject": (
        "player",
        "players",
        "player name",
        "player s",
        "player(s)",
        "name",
        "names",
        "full name",
        "subject",
        "subjects",
        "athlete",
        "athletes",
        "athlete name",
        "skater",
        "card name",
        "card subject",
        "signer",
        "signers",
        "autograph subject",
        "person",
        "card title",
        "last first",
        "last name first name",
        "last name, first name",
        "last, first",
        "player last first",
        "name last first",
    ),
    "first": ("first name", "first", "given name", "forename", "firstname"),
    "last": ("last name", "last", "surname", "family name", "lastname"),
    "team": (
        "team",
        "teams",
        "team name",
        "team s",
        "club",
        "clubs",
        "franchise",
        "squad",
        "side",
        "team city",
        "team code",
        "team abbr",
        "tm",
        "affiliation",
        "team names",
    ),
    "note": (
        "note",
        "notes",
        "remark",
        "remarks",
        "comment",
        "comments",
        "details",
        "info",
        "other",
        "additional info",
        "description",
        "special",
    ),
    "rookie": (
        "rc",
        "debut",
        "debuut",
        "deb",
        "newcomer",
        "rookie",
        "rookie card",
        "rookies",
        "rook",
        "rc logo",
        "rookie y n",
        "is rookie",
        "r",
    ),
    "print_run": (
        "print run",
        "printrun",
        "edition of",
        "numbered to",
        "numbered",
        "serial",
        "serial #",
        "serial numbered",
        "serial number",
        "serial no",
        "seq",
        "sequence",
        "seq #",
        "sequenced",
        "#'d",
        "#d",
        "#'d to",
        "#d to",
        "# d",
        "# d to",
        "run",
        "limited to",
        "numbering",
        "copies",
        "qty",
        "quantity",
        "/",
        "# to",
        "made",
        "total print",
        "edition size",
        "edition",
        "num to",
        "no of copies",
        "number of copies",
        "pr",
    ),
    "subset": (
        "set",
        "set name",
        "subset",
        "sub set",
        "subset name",
        "card set",
        "insert",
        "insert set",
        "insert name",
        "insert set name",
        "program",
        "programme",
        "series",
        "card type",
        "set subset",
        "checklist",
        "content",
        "theme",
        "product set",
        "collection",
        "set title",
        "section",
        "card set name",
    ),
    "parallels": (
        "parallels",
        "parallel versions",
        "versions",
        "parallel list",
        "available parallels",
        "parallel s",
        "variants",
        "colours",
        "colors",
    ),
    "parallel": (
        "parallel",
        "parallel name",
        "version",
        "variant",
        "colour",
        "color",
        "parallel type",
        "parallel version",
        "finish",
        "parallel / variation",
    ),
    "signed": (
        "signed",
        "autograph",
        "auto",
        "autographed",
        "signature",
        "sig",
        "auto type",
        "autograph type",
        "ink",
        "how signed",
    ),
    "relic": (
        "relic",
        "relics",
        "memorabilia",
        "mem",
        "material",
        "materials",
        "swatch",
        "mem type",
        "memorabilia type",
        "relic type",
        "worn",
    ),
    "formats": (
        "format",
        "formats",
        "found in",
        "available in",
        "exclusive",
        "exclusive to",
        "product",
        "configuration",
        "product format",
    ),
    "redemption": ("redemption", "redemptions", "exchange", "exch", "redemption y n"),
    "variation": (
        "variation",
        "variations",
        "var",
        "short print",
        "sp",
        "ssp",
        "image variation",
        "photo variation",
    ),
}

# a key sheet: codes and what they stand for
KEY: dict[str, tuple[str, ...]] = {
    "code": ("code", "team code", "abbr", "abbreviation", "abbrev", "short", "key", "id", "tm", "symbol"),
    "name": ("team", "team name", "club", "name", "franchise", "full name", "meaning", "squad", "stands for"),
}

# ---------------------------------------------------------------- over the columns of odds
ODDS: dict[str, tuple[str, ...]] = {
    "subset": (*CHECKLIST["subset"], "card", "line", "what", "item", "insertion", "cards"),
    "parallel": (*CHECKLIST["parallel"], "parallels", "parallel level", "level", "tier"),
    "print_run": CHECKLIST["print_run"],
    "format": (
        "format",
        "product",
        "configuration",
        "product type",
        "box type",
        "pack type",
        "channel",
        "in",
    ),
    "odds": (
        "odds",
        "stated odds",
        "pack odds",
        "odds per pack",
        "ratio",
        "insertion ratio",
        "insertion rate",
        "1 in",
        "1 in x packs",
        "packs per card",
        "packs per copy",
        "average odds",
        "rate",
        "1:x",
        "frequency",
        "odds 1:x",
        "one in",
        "hits",
    ),
    "note": CHECKLIST["note"],
    "number": (),
}

# ---------------------------------------------------------------- over the columns of sold lists
SOLD: dict[str, tuple[str, ...]] = {
    "date": (
        "date",
        "sold on",
        "date sold",
        "sold date",
        "sale date",
        "sold",
        "end date",
        "ended",
        "date ended",
        "day",
        "when",
        "transaction date",
        "end time",
        "date of sale",
        "order date",
        "paid on",
        "sold at",
        "closed",
        "close date",
        "closing date",
    ),
    "title": (
        "title",
        "listing",
        "listing title",
        "item",
        "item title",
        "item name",
        "description",
        "name",
        "card",
        "product",
        "lot title",
        "what",
        "sale",
        "ad title",
        "auction title",
        "ttl",
        "item description",
        "product name",
    ),
    "price": (
        "price",
        "sold price",
        "sale price",
        "sold for",
        "final price",
        "hammer",
        "hammer price",
        "closing price",
        "final price",
        "winning bid",
        "winning bid",
        "amount",
        "amt",
        "price sold",
        "item price",
        "selling price",
        "sold price usd",
        "realized",
        "realised",
        "price realized",
        "price realised",
        "item subtotal",
        "paid",
    ),
    "total": (
        "total",
        "total paid",
        "total price",
        "grand total",
        "total incl postage",
        "total with shipping",
        "order total",
        "total cost",
        "price incl shipping",
        "price incl postage",
        "paid in total",
        "total amount",
        "buyer paid",
        "all in",
    ),
    "postage": (
        "postage",
        "shipping",
        "shipping cost",
        "ship",
        "delivery",
        "p&p",
        "p p",
        "s&h",
        "s h",
        "freight",
        "shipping price",
        "postage cost",
        "delivery cost",
        "shipping and handling",
        "postage and packing",
        "shipping charge",
        "carriage",
        "post",
    ),
    "currency": ("currency", "cur", "ccy", "curr", "currency code"),
    "how": (
        "how sold",
        "how",
        "type",
        "sale type",
        "format",
        "listing type",
        "sold via",
        "method",
        "buying format",
        "sale format",
        "listing format",
        "selling format",
        "transaction type",
        "sold by",
        "kind",
    ),
    "condition": ("condition", "grade", "graded", "cond", "state", "raw or slabbed", "slab"),
    "quantity": ("quantity", "qty", "units", "quantity sold", "number sold", "count", "pcs"),
    "bids": ("bids", "bid count", "# bids", "number of bids", "no of bids"),
    "status": ("status", "result", "outcome", "listing status"),
    "source": (
        "url",
        "link",
        "source",
        "site",
        "where",
        "item number",
        "item id",
        "item #",
        "listing id",
        "market",
        "marketplace",
        "venue",
        "seller",
        "platform",
    ),
}

# ---------------------------------------------------------------- over the columns of slot prices
SLOTS: dict[str, tuple[str, ...]] = {
    "slot": (
        *CHECKLIST["team"], "slot", "slots", "spot", "spots", "slot name", "spot name", "team spot",
        "team slot", "team / spot", "team/spot", "division", "divisions", "pair", "team pair", "team 1",
        "team 2", "team a", "team b", "first team", "second team", "other team", "partner", "combo",
    ),
    "price": (
        *SOLD["price"], "cost", "ask", "asked", "asking", "asking price", "buy in", "entry", "entry fee",
        "spot price", "slot price", "team price", "price per spot", "price per slot", "per spot", "per slot",
        "each", "spot cost", "slot cost", "cost per spot", "cost per slot", "price/spot", "price/slot", "bin",
        "current bid", "fee",
    ),
    "date": (
        *(word for word in SOLD["date"] if word != "sold"), "break date", "date of break", "break day",
        "break on", "broken on", "stream", "stream date", "streamed", "aired", "air date", "live on",
        "listed on", "asked on",
    ),
    "format": (
        "format", "product", "configuration", "product format", "product type", "box type", "box", "sealed",
    ),
    "how": (
        *(word for word in SOLD["how"] if word != "format"), "break type", "type of break", "style",
        "break style", "break format", "sold how",
    ),
    "cases": ("cases", "case count", "# cases", "# of cases", "no of cases", "number of cases", "size"),
    "currency": SOLD["currency"],
    "status": (
        *SOLD["status"], "sold", "taken", "claimed", "filled", "available", "availability", "state", "open",
    ),
    "break": (
        "break", "case", "break #", "break no", "break number", "break id", "break name", "round", "case #",
    ),
}  # fmt: skip

TABLES = {"checklist": CHECKLIST, "odds": ODDS, "sold": SOLD, "slots": SLOTS}

# ---------------------------------------------------------------- what headings and blurbs say
SIGNED_WORDS = re.compile(
    r"\b(?:signatures|autographs?|autographed|autos?|signed|signers?|sigs|handtekening(?:en)?|gesigneerde?"
    r"|unterschrift(?:en)?|autogramme?)\b"
    r"|\bsignature\b(?=\s*(?:$|[-,;:(/]|series|relics?|patch|edition|cards?|materials?"
    r"|rookies?|jerseys?|cuts?))",
    re.IGNORECASE,
)
ON_STICKER = re.compile(
    r"\b(?:stickers?|aufklebern?|autocollants?|pegatinas?|adesivi|adesivo)\b", re.IGNORECASE
)
# how a card is signed where a cell says no more
SIGNED_CELLS = frozenset(("card", "hard", "hard signed"))
ON_CARD = re.compile(
    r"\bon[\s-]*card\b|\bon(?:to)?\s+the\s+cards?\b|\bop\s+de\s+kaart\b|\bauf\s+der\s+karte\b|\bsur\s+(?:la\s+)?carte\b"
    r"|\bhard[\s-]*signed\b|\bdirectly on\b",
    re.IGNORECASE,
)
RELIC_WORDS = re.compile(
    r"\b(?:relics?|memorabilia|patch(?:es)?|swatch(?:es)?|jerseys?|game[\s-]*used|(?:game"
    r"|player|event|match|race)"
    r"[\s-]*worn|worn\s+(?:in|by|at)|mem|materials"
    r"|material(?=\W*\Z|\s*[,;.)/&+]|\s+(?:cards?|relics?|auto\w*|sig\w*|duals?|swatch\w*)\b)"
    r"|(?:pieces?|strips?|scraps?|snips?|slivers?|strands?|threads?|squares?)\s+(?:of|from)|cut\s+from)\b",
    re.IGNORECASE,
)
WORN = (
    (
        "game-worn",
        re.compile(
            r"\b(?:game|match|race|bout|fight)[\s-]*(?:worn|used|issued)\b"
            r"|\b(?:worn|used)\s+(?:in|during)\s+(?:an?\s+|the\s+)?(?:[\w'’-]+\s+){0,2}?"
            r"(?:games?|match(?:es)?|bouts?|races?|fights?|competition|play)\b",
            re.IGNORECASE,
        ),
    ),
    (
        "player-worn",
        re.compile(
            r"\b(?:player|athlete)[\s-]*worn\b|\bworn\s+by\s+(?:the\s+|an?\s+)?(?:player|athlete|person|subject)s?\b",
            re.IGNORECASE,
        ),
    ),
    (
        "event-worn",
        re.compile(
            r"\b(?:event|photo[\s-]*shoot|practice|training)[\s-]*(?:worn|used)\b"
            r"|\b(?:worn|used)\s+(?:at|in|on|during|for)\s+(?:an?\s+|the\s+)?(?:[\w'’-]+\s+){0,2}?"
            r"(?:events?|photo[\s-]*(?:shoots?|days?|sessions?)|practice|training|galas?|ceremon(?:y|ies)|signings?|presentations?|banquets?"
            r"|media\s+days?)\b",
            re.IGNORECASE,
        ),
    ),
    (
        "unattributed",
        re.compile(
            r"\bnot\s+(?:from|associated|attributed|worn|tied|linked|connected|related)\b|\bunattributed\b|\bno\s+(?:specific|particular)\b"
            r"|\bmanufactured\b|\bunspecified\b",
            re.IGNORECASE,
        ),
    ),
)
VARIATION = re.compile(r"\bvariations?\b|\bimage var\b|\bphoto var\b", re.IGNORECASE)
SAME_NUMBERS = re.compile(
    r"\b(?:same|shares?|sharing|identical)\b[^.;]{0,30}\bnumber(?:s|ing)?\b"
    r"|\bnumbered\s+(?:as|like)\s+(?:the\s+)?base\b"
    r"|\bparallels?\s+(?:the\s+)?base\s+(?:set\s+)?number",
    re.IGNORECASE,
)
REDEMPTION = re.compile(r"\bredemptions?\b|\bredeem\b|\bexch(?:ange)?\b", re.IGNORECASE)
SHORT_PRINT = re.compile(r"\bS{1,2}Ps?\b|\bshort[\s-]*prints?\b|\bshort[\s-]*printed\b", re.IGNORECASE)
# said of somebody's first season, where no card says rookie
NEWCOMER = re.compile(
    r"(?:league\s+|national\s+|season\s+)?debut(?:ant|ante|s)?|new|newcomer"
    r"|new(?:comer)? (?:this|to the) (?:season|league|team)"
    r"|first[\s-](?:year|season)(?: (?:in|of) .{1,40})?|1st[\s-](?:year|season)",
    re.IGNORECASE,
)
ROOKIE = re.compile(r"\b(?:RC|RCs|rookie(?: card)?)\b", re.IGNORECASE)
DUAL = re.compile(
    r"\b(?:dual|duo|double|triple|trio|quad|combo|tandem|pair|multi|six|eight)\w*\b", re.IGNORECASE
)
GROUP_HEADING = re.compile(
    r"(?:the\s+)?(?:autographs?|autographed cards|relics?|memorabilia|inserts?"
    r"|insert (?:sets?|cards)|base cards?"
    r"|autograph(?:ed)? relics?|autographs? (?:and|&) relics?|hits|chase cards|checklist"
    r"|parallels|subsets?|contents)"
    r"(?:\s+(?:sets?|cards|subsets?|checklist))?\Z",
    re.IGNORECASE,
)
# what a heading says after its name: kinds, and the words that go with them
KINDS = frozenset(
    (
        "autograph", "autographs", "autographed", "auto", "autos", "signature", "signatures", "signed",
        "relic", "relics", "memorabilia", "swatch", "swatches", "patch", "patches", "material", "materials",
        "insert", "inserts",
    )
)  # fmt: skip
BESIDE_KINDS = frozenset(
    (
        "and", "or", "of", "with", "a", "the", "all", "card", "cards", "set", "sets", "subset", "subsets",
        "dual", "double", "triple", "quad", "multi", "single", "rookie", "rookies", "veteran", "veterans",
        "game", "match", "player", "event", "worn", "used", "jersey", "jerseys", "hand", "hard",
    )
)  # fmt: skip
BASE_NAME = re.compile(
    r"(?:the\s+)?(?:base|basis)(?:\s+(?:set|cards?|checklist|veterans?|rookies?|legends|i{1,3}"
    r"|common|commons|series|main))*\Z",
    re.IGNORECASE,
)
YEAR = re.compile(r"\b(?:19|20)\d\d\b")
TITLE_LIKE = re.compile(
    r"\b(?:19|20)\d\d\b|©|\b(?:cards?|press|printing|publishing|sports?)\s+company\b|\binc\b\.?|\bltd\b\.?|\bllc\b|\bchecklist\b"
    r"|\bsubject to change\b|\bpreliminary\b"
    r"|\bas of\b|\bupdated\b|\bpage\s+\d+|\bconfidential\b|\bmaster list\b|\btrading cards\b|\bversion\s+\d",
    re.IGNORECASE,
)
FOOTNOTE = re.compile(
    r"\s*(?:[*†‡§¹²³]|\(\*\)|©|\(c\)\s|notes?\s*:|n\.?b\.?\s*:|all rights reserved"
    r"|no purchase|odds are|disclaimer"
    r"|subject to change|legend\s*:|key\s*:|e\s*&\s*o\s*e|printed in|checklist (?:is )?subject)",
    re.IGNORECASE,
)
TOTAL = re.compile(
    r"\s*(?:sub|grand|set|sum|section|overall)?[\s-]*totals?\b(?!\s+(?:eclipse|access"
    r"|recall|control))|\s*sum\s*:?\s*\d"
    r"|\s*(?:number of|total number of|#\s*of|count of|card count)\b.{0,20}\d"
    r"|\s*count\s*:\s*\d|\s*\d+\s+cards?\s+(?:in\s+)?total",
    re.IGNORECASE,
)
CARDS_COUNT = re.compile(
    r"\b(\d{1,4})[\s-]*(?:different\s+|total\s+)?(?:cards?|kaarten|karten|cartes|kort)\b"
    r"(?!\s*(?:per|a|in every|in each)\b)",
    re.IGNORECASE,
)
RUN = re.compile(
    r"(?:(?:serial[\s-]*)?(?:numbered|#['’]?d|no['’]?d|num['’]?d|sequenced|limited|edition|print[\s-]*run"
    r"|oplage|auflage|tirage|tirada|tiratura)"
    r"\s*(?:to|of|out of|at|:|=)?\s*[#/]?\s*(?:only\s+)?/?(?P<a>\d{1,3}(?:,\d{3})+"
    r"|\d{1,5})\b(?!\s*(?:cards|per\b))"
    r"|#\s*/\s*(?P<b>\d{1,5})\b|(?<![\d/])/\s?(?P<c>\d{1,3}(?:,\d{3})+|\d{1,5})\b(?!/)"
    r"|\b(?P<d>1)\s*(?:/|of|-of-)\s*1\b|\b(?P<e>one)[\s-]of[\s-](?:a[\s-]kind|one)s?\b"
    r"|\b(?P<f>\d{1,5})\s+(?:copies\b(?!\s+or)|of\s+each\b|made\b(?!\s+of\b)|printed\b|limited\b)|\bprint\s*run\s*(?:of|:)?\s*(?P<g>\d{1,5})\b)",
    re.IGNORECASE,
)
PARALLEL_LIST = re.compile(
    r"\s*(?:(?:[^\W\d_]+\s+){0,2}(?:versions|parallels|colou?rs)\s+of\s+(?:the\s+|our\s+)?(?:base|main)"
    r"\s+(?:set|cards)(?=\s*:)"
    r"|(?:(?:available|also|all|set|base|card)\s+)*(?:in\s+)?(?:parallel (?:versions|sets|cards)|parallels?"
    r"|versions|the ladder|ladder|variants|rainbow"
    r"|colou?rs|also (?:comes |available |found )?(?:in|as)))\b\s*(?:\([^)]*\)\s*)?(?:[:–—-]|are\b"
    r"|include\b|available\b|\Z)\s*(?P<rest>.*)",
    re.IGNORECASE | re.DOTALL,
)
BLURB = re.compile(
    r"\b(?:all|each) (?:of the )?cards?\b|\bbase version\b|"
    r"\b\d{1,4}[\s-]*(?:different\s+)?(?:cards?|kaarten|karten|cartes|kort)\b|\bnumbered\b"
    r"|\b(?:oplage|auflage|tirage|tirada|tiratura)\s\d|#\s*/\s*\d|\bsigned on\b"
    r"|\b\d{1,5}\s+of\s+each\b"
    r"|\bmaterials?\s+(?:is|are|from|not|of)\b|\bparallels?\b\s*[:–—-]"
    r"|\bsame numbers\b|\bprint run\b|\b(?:hobby|retail)\s+(?:only|exclusive)\b"
    r"|\bexclusive to\b|[\s(]/\s?\d+\b|\b1/1\b"
    r"|\b\w+[\s-]worn\b|\bon[\s-]card\b|\bsticker\b|\bexcept as noted\b"
    r"|\blimited to\b|\bcopies\b|\bodds\b|\b1\s*:\s*\d|\bserial\b"
    r"|\bredemptions?\b|\bshort[\s-]prints?\b|\bone of one\b|\bsee below\b|\bunnumbered\b|\bnot numbered\b",
    re.IGNORECASE,
)
FORMATS = (
    "hobby", "retail", "jumbo", "blaster", "mega", "hanger", "fat pack", "value", "online", "breaker",
    "collector", "cello", "super", "premium", "starter", "gift", "tin", "booster", "club", "display",
    "direct", "international", "winter", "summer", "super jumbo",
)  # fmt: skip
BASE_VERSION = (
    "base version", "base", "regular", "common", "standard", "base card", "basic", "base parallel",
    "non parallel", "plain", "plain card", "gewoon", "normaal", "ordinaire", "as it comes", "itself",
    "ordinary",     "unnumbered", "main", "normal", "base cards", "regular version", "no parallel", "none",
    "n/a", "-", "–", "—", "original", "simple", "einfach",
)  # fmt: skip
TRUE_WORDS = ("y", "yes", "x", "true", "1", "✓", "✔", "•", "*", "●", "√", "ja", "oui", "si")
FALSE_WORDS = ("", "n", "no", "false", "0", "-", "–", "—", "none", "n/a", "nein", "non")
DASHES = (
    "-",
    "–",
    "—",
    "--",
    "---",
    "−",
    "‒",
    "n/a",
    "na",
    "none",
    "no",
    "x",
    "not available",
    "not in",
    ".",
    "·",
    "✗",
)

_KEEP = re.compile(r"[^\w#/'&°:]+")
_BEGUN = re.compile(r"[a-z0-9#/'&:]+", re.IGNORECASE)
_SPECIAL = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ß": "ss", "æ": "ae", "œ": "oe", "ı": "i", "’": "'",
     "`": "'", "‘": "'", "´": "'", "ʼ": "'"}
)  # fmt: skip


def fold(words: str) -> str:
    """Text without capitals and accents, as it is compared: 'Núñez' and 'NUNEZ' are one."""
    if words.isascii():
        return words.lower()
    bare = unicodedata.normalize("NFKD", words.casefold()).translate(_SPECIAL)
    return "".join(mark for mark in bare if not unicodedata.combining(mark))


def header_key(cell: str) -> str:
    """A header's words as they are compared."""
    return " ".join(_KEEP.sub(" ", fold(cell)).replace("_", " ").split()).strip(": ")


_CURRENCY = re.compile(r"\s+(?:[$€£¥₩]|zł|kr|Kč|Ft|lei|won|yen|(?-i:[A-Z]{3}))\s*\Z", re.IGNORECASE)


class Columns:
    """Which column a header's words stand for; a season's words go before the trade's."""

    def __init__(self, kind: str, extra: Mapping[str, Sequence[str]] | None = None) -> None:
        self._is_numbered = kind == "checklist"
        self._names: dict[str, str] = {}
        self._told: dict[str, str] = {}
        for name, usual in TABLES[kind].items():
            for word in usual:
                self._names.setdefault(header_key(word), name)
        if kind == "checklist":
            for name, foreign in wordlists.load("headings").items():
                for word in foreign:
                    self._names.setdefault(header_key(word), name)
        for name, more in (extra or {}).items():
            if name in TABLES[kind]:
                for word in more:
                    self._names[header_key(word)] = name
        self._begun = {key.split(" ", 1)[0] for key in self._names}

    def _may_be_one(self, cell: str) -> bool:
        """Whether a cell begins as a heading does; most cells of cards do not, and need no second look."""
        if not cell.isascii() or "(" in cell or not (found := _BEGUN.search(cell)):
            return True
        word = found[0].lower().lstrip(":")
        return not word or word in self._begun or word.rstrip("0123456789:") in self._begun

    def name(self, cell: str) -> str:
        """The column that a header cell names, or nothing."""
        if not cell or len(cell) > 60:
            return ""
        if cell not in self._told:
            if not self._may_be_one(cell):
                return ""
            key = header_key(cell)
            if key not in self._names and "(" in cell:
                key = header_key(re.sub(r"\([^)]*\)", " ", cell))  # 'Player (Last, First)', 'Price (USD)'
            if key not in self._names and (bare := _CURRENCY.sub("", cell)) != cell:
                key = header_key(bare)  # 'Price €', 'Shipping kr'
            if key not in self._names and self._is_numbered:
                key = re.sub(r"\s*\d$", "", key)  # 'Athlete 1', 'Club 2'
            name = self._names.get(key, "")
            if not name and " / " in cell:  # in two languages: 'Serie / Set'
                sides = {self._names.get(header_key(one), "") for one in cell.split(" / ")} - {""}
                name = sides.pop() if len(sides) == 1 else ""
            self._told[cell] = name
        return self._told[cell]

    def of_row(self, cells: Sequence[str]) -> dict[int, str]:
        """The columns that a row names, by position; the first of two equal ones counts."""
        found: dict[int, str] = {}
        told = self._told
        for position, cell in enumerate(cells):
            name = told[cell] if cell in told else self.name(cell)
            if name and name not in found.values():
                found[position] = name
        return found


def is_yes(cell: str) -> bool:
    """Whether a mark in a column means yes."""
    return fold(cell).strip(" .") in TRUE_WORDS


def is_no(cell: str) -> bool:
    """Whether a mark in a column means no."""
    return fold(cell).strip() in FALSE_WORDS


PARALLELS_FOLLOW = re.compile(
    r"\s*(?:also\s+(?:comes?\s+|available\s+|found\s+)?(?:in|as)|(?:available|comes?)\s+(?:in|as)"
    r"|also(?=\s+(?-i:[A-Z])[^()]{1,40}\(\d+ copies\)))\s+(?P<rest>(?!all\b).+)",
    re.IGNORECASE | re.DOTALL,
)


def listed_parallels(line: str) -> re.Match[str] | None:
    """A line that lists parallels, as the part `rest`: 'Parallels: Mist, Amber /75', 'Also as Mist'."""
    return PARALLEL_LIST.match(line) or PARALLELS_FOLLOW.match(line)


def are_kinds(said: str) -> bool:
    """Whether words name kinds of cards and nothing else: 'dual autographs', 'relics'."""
    found = re.findall(r"[^\W\d_]+", fold(said))
    return not KINDS.isdisjoint(found) and KINDS.union(BESIDE_KINDS).issuperset(found)


def run_in(words: str) -> int | None:
    """The print run that a text states, None where it states none."""
    found = RUN.search(words)
    if not found:
        return None
    if found["e"]:
        return 1
    digits = next(value for value in found.groupdict().values() if value)
    number = int(digits.replace(",", ""))
    return number or None


def run_cell(cell: str) -> int | None:
    """The print run in a cell of its own: '/75', '75', '#/75', '41/75', '1 of 1', '75 copies'."""
    bare = cell.strip().strip("()").strip()
    plain = re.fullmatch(
        r"[#/]*\s*(?:\d{1,5}\s*/\s*)?(\d{1,3}(?:[,.]\d{3})+|\d{1,6})(?:\.0+)?(?:\s*(?:copies|cards|made))?",
        bare,
    )
    if plain:
        return int(re.sub(r"\D", "", plain[1])) or None
    return run_in(bare)


def smart_case(name: str) -> str:
    """A name in capitals as a title: 'DECK SIGNATURES' becomes 'Deck Signatures'; others as they are."""
    letters = [mark for mark in name if mark.isalpha()]
    if len(letters) < 4 or any(mark.islower() for mark in letters):
        return name
    small = {"of", "the", "and", "in", "on", "for", "to", "a", "an", "at", "by", "with"}
    words = []
    for position, word in enumerate(name.split(" ")):
        low = word.lower()
        if position and low in small:
            words.append(low)
        elif word.isalpha() and (
            re.fullmatch(r"[IVX]+", word) or (len(word) < 4 and not re.search("[AEIOUY]", word))
        ):
            words.append(word)
        else:
            words.append(re.sub(r"[^\W\d_]+", _capital, low))
    return " ".join(words)


def _capital(found: re.Match[str]) -> str:
    word = found[0]
    if found.start() and found.string[found.start() - 1] in "'’" and len(word) < 3:
        return word
    return word[:1].upper() + word[1:]


def key_of_group(name: str) -> str:
    """A group heading without its ending: 'AUTOGRAPHS' and 'Autograph' are one."""
    return fold(name).strip(" :").rstrip("s")
