"""What stands around the cards: titles, banners, blurbs, headings of sections, footnotes, legends."""

from __future__ import annotations

from collections.abc import Sequence

from makers.dice import Dice
from makers.documents.cells import ladder_says
from makers.documents.grid import Line, Notes, Sheet, text_line
from makers.documents.layout import Layout
from makers.documents.naming import team_text
from makers.documents.phrases import kind_words, ladder_text, run_text
from makers.truth.facts import Key
from makers.truth.release import Release, Subset


def title_lines(dice: Dice, release: Release, layout: Layout, what: str) -> list[Line]:
    """The lines above a document, often none."""
    if not layout.has("titles above"):
        return []
    told = {"checklist": ("Checklist", "Card list", "Set list"), "odds": ("Odds", "Pack odds", "Stated odds")}
    word = dice.pick(told.get(what, (what.capitalize(),)))
    lines = [text_line(f"{release.title} {release.league.sport} - {word}", role="title")]
    if dice.chance(0.4):
        lines.append(
            text_line(
                dice.pick(("Final", "Version 2", "Subject to change", "For trade use only")), role="title"
            )
        )
    return [*lines, Line([], role="blank")]


def banner_line(dice: Dice, subset: Subset, layout: Layout, notes: Notes) -> Line:
    """The line that a subset's cards stand under."""
    text = {
        "plain": subset.name,
        "capitals": subset.name.upper(),
        "ruled": f"=== {subset.name} ===",
        "named": f"Subset: {subset.name}",
        "prefix": f"{subset.name} [{subset.prefix}]",
    }[layout["banner"]]
    if layout.has("counts"):
        notes.mark("banners with counts")
        count = (
            f"{len(subset.cards)} CARDS" if layout["banner"] == "capitals" else f"{len(subset.cards)} cards"
        )
        text += dice.pick((f" ({count})", f" - {count}", f", {count}"))
    return Line([text], [Key("subset", subset.index, "subset")], "banner")


def section_line(title: str, layout: Layout, notes: Notes) -> Line:
    """A heading inside the base set, which begins no subset."""
    notes.mark("sections in the base set")
    return Line([title.upper() if layout["banner"] == "capitals" else title], [], "section")


def blurb_lines(dice: Dice, release: Release, subset: Subset, layout: Layout, notes: Notes) -> list[Line]:
    """What is said of a subset under its banner: kind, run, ladder."""
    lines: list[Line] = []
    if layout["kinds"] == "blurb" and (subset.kind not in {"base", "insert"} or dice.chance(0.4)):
        words = kind_words(subset, dice, attributes=layout.has("attributes"))
        lines.append(text_line(words[0].upper() + words[1:] + ".", kind_says(subset, layout), "blurb"))
    if layout["runs"] == "blurb" and subset.run:
        form = dice.pick(("Each card is {}.", "All cards {}.", "Base version {}."))
        says = [Key("subset", subset.index, "print_run")]
        lines.append(text_line(form.format(run_text(subset.run, "to")), says, "blurb"))
    if layout["ladders"] == "blurb" and subset.rungs:
        notes.mark("ladders in blurbs")
        word = dice.pick(("Parallels: ", "Parallel versions: ", "Also as ", "Ladder: "))
        told = ladder_text(subset.rungs, layout, release.formats)
        lines.append(text_line(f"{word}{told}", ladder_says(subset), "blurb"))
    notes.mark("blurbs under banners", bool(lines))
    return lines


def kind_says(subset: Subset, layout: Layout) -> list[Key]:
    """What words on a subset's kind state of its cards."""
    columns = ["kind", *(["signed", "relic"] if layout.has("attributes") else [])]
    columns += ["variation"] if subset.variation else []
    return [Key("subset", subset.index, column) for column in columns]


def odds_footnote(dice: Dice, layout: Layout, notes: Notes) -> list[Line]:
    """What stands below odds: that they are per pack, in words that name a box as well."""
    if not layout.has("odds footnote"):
        return []
    notes.mark("a footnote that denies")
    told = (
        "Odds are per pack over the whole run, not for a single box.",
        "All odds are averages per pack; no box or case is sure to hold any of these.",
        "Stated per pack. They do not say what one box will hold.",
    )
    return [Line([], role="blank"), text_line(dice.pick(told))]


def footnote_lines(dice: Dice, release: Release, layout: Layout, notes: Notes) -> list[Line]:
    """What stands below the cards: marks explained, cards named by their numbers, and idle talk."""
    lines = [
        *_rookie_lines(dice, release, layout, notes),
        *_short_print_lines(dice, release, layout, notes),
        *_redemption_lines(dice, release, layout, notes),
    ]
    if layout.has("footnotes"):
        notes.mark("footnotes")
        idle = (
            "Contents may change without notice.",
            f"© {release.year} {release.maker}",
            "Page 1 of 1",
            "End of list",
        )
        lines += [text_line(text) for text in dice.some(idle, dice.whole(1, 2))]
    return [Line([], role="blank"), *lines] if lines else []


def _rookie_lines(dice: Dice, release: Release, layout: Layout, notes: Notes) -> list[Line]:
    if layout["rookies"] == "asterisk":
        told = ("* rookie card", "* = first-year player (rookie)", "Rookies are marked *")
        return [text_line(dice.pick(told))]
    rookies = [card for card in release.base.cards if card.persons[0].rookie]
    if layout["rookies"] != "sentence" or not rookies:
        return []
    notes.mark("rookies in a sentence")
    named = ("Rookies in the base set are numbers {}.", "Rookie cards of the base set: {}.")
    text = dice.pick(named if layout["numbers"] == "restart" else (*named, "RC: {}"))
    says = [Key("people", card.persons[0].index, "rookie") for card in rookies]
    return [text_line(text.format(number_list([card.number for card in rookies])), says)]


def _short_print_lines(dice: Dice, release: Release, layout: Layout, notes: Notes) -> list[Line]:
    cards = release.base.short_prints
    if not cards:
        return []
    told = layout["short prints"] == "sentence"
    notes.mark("short prints in a sentence", told)
    notes.mark("notes of short prints", layout.has("short print notes"))
    forms = (
        "Short prints with {r} copies each: base set numbers {n}.",
        "Numbers {n} of the base set are limited to {r} copies.",
    )
    text = dice.pick(forms).format(n=number_list([card.number for card in cards]), r=cards[0].run)
    return [text_line(text, [Key("checklist", card.index, "print_run") for card in cards])] if told else []


def _redemption_lines(dice: Dice, release: Release, layout: Layout, notes: Notes) -> list[Line]:
    lines: list[Line] = []
    forms = (
        "{s}: {n} will be issued as redemptions.",
        "Redemption cards in {s}: {n}.",
        "{s} {n} must be redeemed.",
    )
    for subset in release.subsets if layout["redemptions"] == "sentence" else ():
        cards = [card for card in subset.cards if card.redemption]
        if cards:
            notes.mark("redemptions in a sentence")
            text = dice.pick(forms).format(s=subset.name, n=number_list([card.number for card in cards]))
            lines.append(text_line(text, [Key("checklist", card.index, "redemption") for card in cards]))
    return lines


def number_list(numbers: Sequence[str]) -> str:
    """Card numbers in a sentence: '4, 9 and 31'."""
    return ", ".join(numbers[:-1]) + (" and " if len(numbers) > 1 else "") + numbers[-1]


def sum_lines(dice: Dice, layout: Layout, notes: Notes, rows: int, sums: Sequence[str]) -> list[Line]:
    """What a list adds up to, which is nothing that was sold."""
    if not layout.has("sums below"):
        return []
    notes.mark("sums below")
    words = dice.pick((("Count", "Total"), ("Rows", "Sum"), ("Listings", "Grand total")))
    return [Line([]), Line([words[0], str(rows)], role="sum"), Line([words[1], sums[0]], role="sum")]


def team_legend(release: Release, layout: Layout, notes: Notes) -> list[Line]:
    """What each team's code stands for."""
    notes.mark("legend of team codes")
    return [Line([team_text(team, "code", ""), team.name], role="legend") for team in release.league.teams]


def kind_legend(dice: Dice, release: Release, layout: Layout, notes: Notes) -> list[Line]:
    """What each subset is, for those whose name does not tell it, or all of them."""
    notes.mark("kinds in a legend")
    everything = layout.has("counts")
    return [
        Line(
            [one.name, kind_words(one, dice, attributes=layout.has("attributes"))],
            kind_says(one, layout),
            "legend",
        )
        for one in release.subsets
        if everything or one.kind != "insert" or not one.telling
    ]


def legend_sheet(title: str, lines: Sequence[Line], *, is_table: bool) -> Sheet:
    """A legend on a sheet of its own, as two columns or as lines 'this = that'."""
    if is_table:
        return Sheet(title, list(lines))
    joined = [Line([f"{one.cells[0]}: {one.cells[1]}"], one.says, one.role) for one in lines]
    return Sheet(title, joined, is_table=False)
