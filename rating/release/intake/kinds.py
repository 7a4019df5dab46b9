"""What words say of the kind of cards: signed and how, with material and from where, base set or inserts."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rating.release.intake import words

_BASE = re.compile(
    r"(?:the\s+)?(?:base|basis|basic|core|regular|common|ordinary|standard|veteran|rookie)s?(?:\s+(?:set|cards?|version|checklist|collection|series))?\b",
    re.IGNORECASE,
)
_INSERT = re.compile(r"\b(?:inserts?|ins|chase)\b", re.IGNORECASE)
_SIGNED = re.compile(
    r"\b(?:au|sig|ink|inked|signs?|autografi?|autogramm\w*|signiert|firmad\w+)\b", re.IGNORECASE
)
_CODED_ON_CARD = re.compile(r"\b(?:sig|auto?|ink)\w*\s*[:/=;-]\s*(?:card|hard)\b", re.IGNORECASE)
_NO_STICKER = re.compile(
    r"\b(?:no|not|never|without|instead of)\s+(?:on\s+|a\s+|any\s+)?stickers?\b", re.IGNORECASE
)
_ONLY = re.compile(
    r"[\s,;:()/&+.-]+|\b(?:and|or|with|the|of|a|an|card|cards|set|sets|subset|type)\b", re.IGNORECASE
)
_OTHER_PICTURE = re.compile(
    r"\b(?:another|different|alternative|alternate|other|new)\s+(?:picture|image|photo|pose|photograph)s?\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What is said of cards. `is_base` and `is_insert` only where the words say so."""

    is_signed: bool = False
    has_relic: bool = False
    is_base: bool = False
    is_insert: bool = False
    signed: str = ""
    relic: str = ""
    variation: bool = False
    same_numbers: bool = False

    @property
    def says(self) -> bool:
        """Whether any kind was named."""
        return self.is_signed or self.has_relic or self.is_base or self.is_insert


NOTHING = Kind()


def read(said: str) -> Kind:
    """The kind that words name."""
    relic = next((name for name, pattern in words.WORN if pattern.search(said)), "")
    is_signed = bool(words.SIGNED_WORDS.search(said) or _SIGNED.search(said) or words.ON_CARD.search(said))
    has_relic = bool(words.RELIC_WORDS.search(said) or relic)
    bare = words.SAME_NUMBERS.sub(" ", said)
    same = words.SAME_NUMBERS.search(said) is not None
    variation = bool(words.VARIATION.search(said) or same or _OTHER_PICTURE.search(said))
    is_base = not is_signed and not has_relic and _BASE.match(bare.strip()) is not None
    return Kind(
        is_signed=is_signed,
        has_relic=has_relic,
        is_base=is_base,
        is_insert=not is_signed and not has_relic and not is_base and _INSERT.search(said) is not None,
        signed="" if not is_signed else how_signed(said),
        relic=relic,
        variation=variation,
        same_numbers=same,
    )


def how_signed(said: str) -> str:
    """What a signature is written on."""
    if words.ON_STICKER.search(_NO_STICKER.sub(" ", said)):
        return "sticker"
    return "card" if words.ON_CARD.search(said) or _CODED_ON_CARD.search(said) else ""


def are_kinds(said: str) -> bool:
    """Whether words say what kind of cards some are, and nothing else: 'Autographs, on-card.'."""
    if len(said) > 140 or not read(said).says:
        return False
    head = re.split(r"[,;.(]", said.strip(), maxsplit=1)[0]
    told = words.SIGNED_WORDS.sub(" ", words.RELIC_WORDS.sub(" ", _INSERT.sub(" ", head)))
    told = words.VARIATION.sub(" ", told)
    told = _SIGNED.sub(" ", re.sub(_BASE.pattern, " ", told, flags=re.IGNORECASE))
    for _, pattern in words.WORN:
        told = pattern.sub(" ", told)
    return not _ONLY.sub("", told)
