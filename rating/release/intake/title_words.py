"""The words of listings' titles: abbreviations, kinds of cards, what says nothing, and usual finishes."""

from __future__ import annotations


def _words(listed: str) -> frozenset[str]:
    return frozenset(listed.split())


# abbreviations and other spellings, each with the word it stands for
SAME = {
    "sig": "signature", "sigs": "signature", "signatures": "signature", "autos": "auto", "autograph": "auto",
    "autographs": "auto", "autographed": "auto", "au": "auto", "autod": "auto", "sign": "signature",
    "mem": "relic", "memorabilia": "relic", "gu": "relic", "jsy": "jersey", "image": "photo", "img": "photo",
    "pic": "photo", "var": "variation", "variant": "variation", "vari": "variation", "sp": "variation",
    "ssp": "variation", "rc": "rookie", "rcs": "rookie", "rookies": "rookie", "rook": "rookie",
    "duo": "dual", "double": "dual", "trio": "triple", "patches": "patch", "swatches": "swatch",
    "gld": "gold", "slvr": "silver", "grn": "green", "blk": "black", "wht": "white", "blu": "blue",
    "prpl": "purple", "orng": "orange", "yllw": "yellow", "brnz": "bronze",
}  # fmt: skip
SIGNED = frozenset({"auto", "signature", "signed", "autograph"})
RELIC = frozenset({"relic", "jersey", "swatch", "material", "patch"})
# words of a subset's name that a title may leave out
OPTIONAL = _words("base set card the of and insert a in subset s")
# words that say nothing of which card it is
NOISE = _words(
    """
    card cards the of and in on for to a an with from by at rare hot invest investment wow look nice gem
    mint nm mt near case hit pack fresh pulled new free ship shipping fast sp ssp hof star ex excellent
    clean centered sharp beautiful gorgeous great must see read desc description rookie rc rcs no number
    numbered serial d limited edition print run ltd short non original genuine authentic real color match
    colour true first ever low pop top loader toploader sleeve holder one ones not plus obo best offer l k
    sale sold bin auction listing insert set subset parallel version base official roller hockey trading
    collectible collectibles sports sport ungraded raw pre presale preorder order presell release player
    team club league season full super big awesome stunning investor pc jersey ready graded slab slabbed
    grade gradable gradeable redemption unredeemed redeemed expired unscratched exch only made just out
    prospect condition good very estate collection wo nr fire sick sweet
    """
)
# finishes that parallels are called by; one of them in a title is never noise
FINISHES = _words(
    """
    gold silver red blue green purple orange black white pink yellow bronze copper platinum ruby emerald
    sapphire aqua teal camo holo foil cracked ice shimmer wave sparkle rainbow neon lava checkerboard
    laser sepia negative chrome speckle glitter diamond zebra tiger marble nebula galaxy magenta cyan
    plate printing amethyst crimson scarlet navy violet turquoise
    """
)
