"""Persons with invented names, from several alphabets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from makers.dice import Dice

# Latin surnames are put together, so that nobody is meant
_FRONTS = (
    "Ald", "Brack", "Corl", "Dunm", "Eskd", "Farl", "Gorm", "Hask", "Inch", "Jarv", "Kelb", "Lorn", "Murd",
    "Nettl", "Orml", "Pask", "Quarl", "Rudd", "Sarg", "Tolv", "Ulv", "Vosp", "Wrax", "Yarl", "Zell",
)  # fmt: skip
_ENDS = (
    "ack", "eby", "ock", "oway", "enham", "egast", "inder", "olm", "ander", "ecote", "istow", "ulph", "arrow",
    "esson", "emar", "ibald", "ossa", "iver", "anto", "eric",
)  # fmt: skip
_LATIN_GIVEN = (
    "Abel", "Bettina", "Calum", "Delia", "Edda", "Fabian", "Gwen", "Henrik", "Imke", "Jolan", "Kira", "Lucan",
    "Mavis", "Norbert", "Olga", "Phoebe", "Ronan", "Selma", "Tristan", "Uma", "Vance", "Willa", "Xander",
    "Yvette", "Zora", "Arlo", "Blanche", "Conrad", "Dinah", "Ewan", "Flora", "Gideon", "Hattie", "Ivor",
    "Juno", "Knut", "Lottie", "Milo", "Nell", "Oscar", "Petra", "Reuben", "Silas", "Thea",
)  # fmt: skip
_ACCENT_GIVEN = (
    "André", "Björn", "Chloé", "Désirée", "Émile", "Françoise", "Göran", "Håkon", "Inés", "José", "Künne",
    "Łucja", "Mañuel", "Noël", "Ömer", "Pålle", "Réka", "Søren", "Šárka", "Tomáš", "Ürsula", "Věra", "Zoë",
)  # fmt: skip
_ACCENT_FAMILY = (
    "Ågren-Moe", "Bárðarson", "Čapnik", "Dvořil", "Ekström", "Fjærby", "Gürbaş", "Hämeensalo", "Íñiguel",
    "Jørstad", "Kováček", "Łabędzik", "Müntzing", "Nørrelund", "Ólafsvik", "Pérezano", "Quiñolar", "Řehák",
    "Sørbø", "Şentürkan", "Tóthvári", "Uršulin", "Vänskälä", "Wójtas", "Ýmirsson", "Žďárek",
)  # fmt: skip
_ODD_FAMILY = (
    "van der Molt", "de la Corva", "O'Brannick", "McTarrow", "Le Fresnoy", "D'Ombra", "St. Aubrin",
    "von Tressel", "Ap Gwillow", "Hale-Morrick", "Dos Ventos", "MacUlvie", "Finch-Orrell", "Di Lauro Neri",
)  # fmt: skip
_SUFFIXES = ("Jr.", "Sr.", "II", "III", "IV")

_OTHERS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "cyrillic": (
        ("Аглая", "Борис", "Варвара", "Глеб", "Дарина", "Егор", "Зоя", "Игнат", "Кира", "Лев", "Майя",
         "Назар",
         "Оксана", "Платон", "Рада", "Савва", "Таисия", "Ульян", "Фёкла", "Эмма", "Юлиан", "Яна"),
        ("Бережко", "Вертель", "Громыль", "Дубняк", "Журавко", "Зимородко", "Ковыль", "Лесняк", "Мироненко",
         "Ореховик", "Полынко", "Ручей", "Степняк", "Туманко", "Холмич", "Цветко", "Шелест", "Щеглик",
         "Яровик"),
    ),
    "greek": (
        ("Άρης", "Βασίλης", "Γιάννης", "Δάφνη", "Ελένη", "Ζωή", "Ηλίας", "Θάλεια", "Ιάσων", "Κλειώ", "Λουκάς",
         "Μυρτώ", "Νίκη", "Ορέστης", "Πέτρος", "Ρένα", "Στέλιος", "Τάσος", "Φοίβη", "Χλόη"),
        ("Αμπελάς", "Βορινός", "Γαλανός", "Δρυμός", "Ελαιώνης", "Θαλασσινός", "Καρύδης", "Λιμνιός",
         "Μελισσός",
         "Νησιώτης", "Ξυλάς", "Πετράς", "Ροδινός", "Σταφύλης", "Τρίκας", "Φάρος", "Χαλκιάς"),
    ),
    "georgian": (
        ("ანა", "ბექა", "გიორგი", "დავით", "ეკა", "ვაჟა", "ზურა", "თამარ", "ია", "კახა", "ლევან", "მარი",
         "ნინო",
         "ოთარ", "რეზო", "სალომე", "ქეთი"),
        ("ბერიაული", "გორგაძული", "დვალაია", "ველაძული", "თავაძელი", "კორძაული", "ლომსაია", "მთაშვილელი",
         "ნაკადული", "ტყემალაძე", "ქვაბელი", "ჩიტაური", "წყალელი", "ხევსურაია"),
    ),
    "armenian": (
        ("Անի", "Արամ", "Գոռ", "Դավիթ", "Զարա", "Լուսինե", "Հայկ", "Մարիամ", "Նարե", "Շանթ", "Սոնա", "Տիգրան",
         "Վահե", "Օհան"),
        ("Աղբյուրյան", "Բարդյան", "Գետյան", "Լեռնյան", "Ծովյան", "Կաղնյան", "Հովտյան", "Մարգյան", "Նռնյան",
         "Շողյան", "Սարյանց", "Քարոնյան"),
    ),
    "hangul": (
        ("하린", "도윤", "서아", "지호", "예준", "나래", "가온", "다온", "라온", "마루", "보람", "새론",
         "아라", "이솔", "한결", "해든"),
        ("강", "고", "권", "남", "노", "류", "문", "민", "백", "서", "손", "송", "신", "심", "안", "양",
         "오", "유", "전", "차", "하", "허"),
    ),
    "japanese": (
        ("葵", "陽菜", "湊", "結衣", "蓮", "凛", "蒼", "紬", "樹", "澪", "朔", "千夏", "颯", "琴音", "匠",
         "雫"),
        ("東雲", "月岡", "星川", "霧島", "白鳥", "朝倉", "水無瀬", "風見", "柊木", "桐生", "雪村", "藤波",
         "椿", "鷹野", "潮崎", "若草"),
    ),
    "devanagari": (
        ("अनिका", "रोहन", "मीरा", "कबीर", "ईशा", "देव", "तारा", "विहान", "नील", "सिया", "आरव", "जया",
         "ओम", "रिया"),
        ("वनकर", "नदीश", "पर्वतीय", "सागरी", "तारकर", "मेघवाल", "किरणे", "पवनजोशी", "दीपकर", "चंद्रेय",
         "कमलेश", "रजनीकर"),
    ),
}  # fmt: skip
ALPHABETS = tuple(_OTHERS)
_FAMILY_FIRST = {"hangul": "", "japanese": " "}
CASED = {"latin", "cyrillic", "greek", "armenian"}


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody on cards. `team` is a place in the league's teams."""

    index: int
    given: str
    family: str
    suffix: str
    script: str
    team: int
    rookie: bool
    name: str  # as it is said, family first where that is the custom

    @property
    def turns(self) -> bool:
        """Whether the name can be written the other way round."""
        return self.script not in _FAMILY_FIRST


def draw_people(dice: Dice, *, count: int, teams: int, alphabet: str, share: float) -> tuple[Person, ...]:
    """So many persons of different names, that share of them in another alphabet, spread over the teams."""
    latin = _latin_names(dice, count)
    other = _names_of(dice, alphabet) if alphabet else iter(())
    people: list[Person] = []
    for index in range(count):
        parts = next(other, None) if dice.chance(share) else None
        script = alphabet if parts else "latin"
        given, family = parts or next(latin)
        suffix = dice.pick(_SUFFIXES) if script == "latin" and dice.chance(0.04) else ""
        name = _name(given, family, suffix, script)
        people.append(Person(index, given, family, suffix, script, index % teams, dice.chance(0.2), name))
    return tuple(people)


def _name(given: str, family: str, suffix: str, script: str) -> str:
    if script in _FAMILY_FIRST:
        return f"{family}{_FAMILY_FIRST[script]}{given}"
    return " ".join(part for part in (given, family, suffix) if part)


def _latin_names(dice: Dice, count: int) -> Iterator[tuple[str, str]]:
    plain = dice.some([a + b for a, b in product(_FRONTS, _ENDS)], 2 * count)
    accents = dice.some(list(product(_ACCENT_GIVEN, _ACCENT_FAMILY)), count // 2)
    with_accents = dice.share(0.05, 0.3)
    used: set[tuple[str, str]] = set()
    last = ""
    while True:
        if dice.chance(with_accents) and accents:
            name = accents.pop()
        else:
            family = dice.pick(_ODD_FAMILY) if dice.chance(0.06) else plain.pop()
            if last and dice.chance(0.05):
                family = last  # brothers, sisters and mere namesakes
            name, last = (dice.pick(_LATIN_GIVEN), family), family
        if name not in used:
            used.add(name)
            yield name


def _names_of(dice: Dice, alphabet: str) -> Iterator[tuple[str, str]]:
    given, family = _OTHERS[alphabet]
    yield from dice.some(list(product(given, family)), 200)
