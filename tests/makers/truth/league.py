"""A league: a sport, its teams with codes, and the people who play for them."""

from __future__ import annotations

from dataclasses import dataclass

from makers.dice import Dice
from makers.truth.people import ALPHABETS, Person, draw_people

SPORTS = (
    "Water Polo", "Curling", "Netball", "Bandy", "Handball", "Track Cycling", "Table Tennis", "Archery",
    "Floorball", "Rowing", "Sepak Takraw", "Fencing", "Speed Skating", "Lacrosse", "Badminton", "Korfball",
    "Pesäpallo", "Squash", "Luge", "Ultimate", "Judo", "Dinghy Sailing", "Climbing", "Kabaddi",
)  # fmt: skip
_PLACES = (
    "Amberley Cross", "Bosun's Reach", "Carrick Vale", "Dolmen Bay", "Eastmarsh", "Fallowgate", "Grisedale",
    "Hollow Pines", "Ivory Point", "Junction Nine", "Kirkmoor", "Lowther", "Millhaven", "Northolme",
    "Orchard Hill", "Pellworth", "Quarry Bank", "Redwater", "Sandrigg", "Tidewell", "Upper Lisk", "Vantry",
    "Whitcombe", "Yarrowby", "Zennick", "Åsavik", "Côte-Brune", "São Lindo", "Brückenau", "Nový Brod",
    "St. Perran", "Lake Ennis", "Fort Calder", "Glen Torrin", "Mount Alder", "Old Scar", "Port Lune",
    "Rook Island", "Twin Bridges", "Wold & Weir",
)  # fmt: skip
_NICKS = (
    "Anvils", "Bitterns", "Cobblers", "Drovers", "Elvers", "Foragers", "Gannets", "Hornets", "Islanders",
    "Jackdaws", "Kites", "Larks", "Mariners", "Nighthawks", "Ospreys", "Ploughmen", "Quarrymen", "Rams",
    "Salmon", "Thatchers", "Urchins", "Voles", "Weavers", "Yeomen", "Zephyrs", "Black Swans", "Iron Bells",
    "Red Stags", "River Rats", "Sea Wolves", "Snow Hares", "Stone Pines", "Thunder", "Union", "Wanderers",
    "Wild Geese", "Orchardmen", "Kettles", "Smiths", "Comets",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Team:
    """A team, such as the Redwater Kites, RWK."""

    index: int
    city: str
    nick: str
    code: str

    @property
    def name(self) -> str:
        """The whole name."""
        return f"{self.city} {self.nick}"


@dataclass(frozen=True, slots=True)
class League:
    """A sport's league of one season."""

    sport: str
    teams: tuple[Team, ...]
    people: tuple[Person, ...]
    alphabet: str

    def team_of(self, person: Person) -> Team:
        """The team somebody plays for."""
        return self.teams[person.team]


def draw_league(seed: object, *, people: int = 170) -> League:
    """The league of a seed: 8 to 32 teams and about so many people."""
    dice = Dice(seed, "league")
    count = dice.pick((8, 10, 12, 12, 14, 16, 16, 18, 20, 24, 30, 32))
    cities, nicks = dice.some(_PLACES, count), dice.some(_NICKS, count)
    codes: list[str] = []
    style = dice.pick(("initials", "front", "bones"))
    for city, nick in zip(cities, nicks, strict=True):
        codes.append(_code(style, city, nick, taken=codes))
    teams = tuple(Team(*one) for one in zip(range(count), cities, nicks, codes, strict=True))
    alphabet = dice.pick(ALPHABETS) if dice.chance(0.4) else ""
    share = dice.pick((0.25, 0.5, 0.9)) if alphabet else 0.0
    drawn = draw_people(dice, count=people, teams=count, alphabet=alphabet, share=share)
    return League(dice.pick(SPORTS), teams, drawn, alphabet)


def _code(style: str, city: str, nick: str, *, taken: list[str]) -> str:
    """A code of two to four letters that no other team has."""
    letters = "".join(one for one in city.upper() if one.isalpha())
    words = [word for word in f"{city} {nick}".replace("-", " ").split() if word[0].isalpha()]
    first = {
        "initials": "".join(word[0] for word in words).upper()[:4],
        "front": letters[:3],
        "bones": (letters[0] + "".join(one for one in letters[1:] if one not in "AEIOUÅÔÃÜÝ"))[:3],
    }[style]
    tries = [first, letters[:2] + nick[0].upper(), letters[0] + nick[:2].upper(), letters[:4]]
    tries += [letters[0] + letters[-1] + str(number) for number in range(2, 40)]
    return next(one for one in tries if len(one) > 1 and one not in taken)
