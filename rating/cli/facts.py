"""boxwright facts: what follows from a release's files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli import common, facts_advice, facts_chances, facts_returns, facts_values

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from rating.facts.advice.value import Advice
    from rating.facts.chances.value import Chances
    from rating.facts.completing.value import Completing
    from rating.facts.content.value import Content
    from rating.facts.earlier.value import Earlier
    from rating.facts.economics.value import Economics
    from rating.facts.facts import Facts
    from rating.facts.history.value import History
    from rating.facts.opening.value import Opening
    from rating.facts.people.value import People
    from rating.facts.returns.value import Returns
    from rating.facts.scarcity.value import Scarcity
    from rating.facts.values.value import Values


def facts(
    release: common.Release,
    section: Annotated[
        str,
        typer.Option("--section", help="Only one, such as economics, content, values, returns or advice."),
    ] = "",
    of: Annotated[
        list[str] | None,
        typer.Option(
            "--of",
            metavar="KEY=WORDS",
            help="How often cards fall: team, subject, subset, parallel, kind, rookie=yes, numbered=25. "
            "Repeatable.",
        ),
    ] = None,
    opening: Annotated[
        str, typer.Option("--open", metavar="AMOUNT", help="With --of: in '3 boxes', '10 packs', '1 case'.")
    ] = "",
    likely: Annotated[
        str, typer.Option("--chance", metavar="SHARE", help="With --of: the packs for it. [default: 0.5]")
    ] = "",
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """What a card, a hit and a box cost, what the checklist holds, and who should buy what, in words too.

    Example: boxwright facts halyard

    Example: boxwright facts halyard --section advice

    Example: boxwright facts halyard --of team="Kelderby Rooks" --of kind=autograph --open "3 boxes"
    """
    from rating.facts import telling
    from rating.facts.facts import SECTIONS
    from rating.facts.plain import Unknown
    from rating.facts.returns.tell import since_launch

    if section:
        common.hold_to(SECTIONS, section, "section")
    if (opening or likely) and not of:
        common.refuse(
            "--open and --chance ask about some cards", "say which with --of, such as --of kind=relic"
        )
    if of and section not in {"", "chances"}:
        common.refuse(f"--of asks for chances, not for {section}", "take --section out")
    season = common.opened(season_folder, today)
    found = season.facts(release)
    common.not_counted(season)
    if of:
        facts_chances.ask(found, of, opening, likely or "0.5", as_json=as_json)
        return
    if as_json:
        common.data(_as_json(found, section))
        return
    common.say(f"{found.title}")
    if found.released_on:
        common.say(f"{found.maker}, released {found.released_on.isoformat()}")
    for name in SECTIONS:
        if section and name != section:
            continue
        value = getattr(found, name)
        common.heading(name.capitalize())
        if isinstance(value, Unknown):
            common.paragraph(f"Not known: {value.why}.")
            continue
        _section(value, found)
        common.say()
        common.paragraph(telling.sentence(name, found))
        kept = season.launch_facts(release) if name == "returns" else None
        if kept and (told := since_launch(kept, found)):
            common.paragraph(told)
    if _shows_prices(found, section):
        common.say()
        common.paragraph(telling.caution(found))


def _shows_prices(found: Facts, section: str) -> bool:
    """Whether prices stand in a section, or in any where none is named."""
    from rating.facts.plain import Unknown

    if section == "history":
        return bool(found.history.editions)
    if section == "earlier":
        return not isinstance(found.earlier, Unknown)
    return section in {"", "economics", "completing", "values", "returns", "advice"}


def _section(
    value: Economics
    | Content
    | People
    | Scarcity
    | Chances
    | Completing
    | Opening
    | Values
    | Returns
    | Advice
    | History
    | Earlier,
    facts: Facts,
) -> None:
    from rating.cli import facts_people
    from rating.facts.advice.value import Advice
    from rating.facts.chances.value import Chances
    from rating.facts.completing.value import Completing
    from rating.facts.content.value import Content
    from rating.facts.earlier.value import Earlier
    from rating.facts.economics.value import Economics
    from rating.facts.opening.value import Opening
    from rating.facts.people.value import People
    from rating.facts.returns.value import Returns
    from rating.facts.scarcity.value import Scarcity
    from rating.facts.values.value import Values

    if isinstance(value, Economics):
        _economics(value)
    elif isinstance(value, Content):
        _content(value)
    elif isinstance(value, People):
        facts_people.people(value)
    elif isinstance(value, Scarcity):
        _scarcity(value)
    elif isinstance(value, Chances):
        facts_chances.show(value)
    elif isinstance(value, Completing):
        _completing(value)
    elif isinstance(value, Opening):
        _opening(value)
    elif isinstance(value, Values):
        facts_values.show(value)
    elif isinstance(value, Returns):
        facts_returns.show(value, facts.headline)
    elif isinstance(value, Advice):
        facts_advice.show(value, facts)
    elif isinstance(value, Earlier):
        facts_people.earlier(value)
    else:
        _history(value)


def _as_json(found: Facts, section: str) -> dict[str, Any]:
    from rating.facts import telling
    from rating.facts.advice.tell import price_advice
    from rating.facts.facts import SECTIONS
    from rating.facts.plain import Unknown, as_json_values

    answer: dict[str, Any] = {"release": found.release}
    for name in SECTIONS if not section else (section,):
        value = getattr(found, name)
        answer[name] = as_json_values(value)
        if name in {"completing", "opening", "returns"} and not isinstance(value, Unknown):
            answer[name] = answer[name]["formats"]
        if name == "advice":
            # the aims alone, and the price that goes with the verdict beside them
            answer[name] = answer[name] if isinstance(value, Unknown) else answer[name]["aims"]
            answer["price_advice"] = price_advice(found)
        if name == "economics" and not isinstance(value, Unknown):
            # formats alone, so that a script can walk through them; what is not one stands beside
            answer[name] = answer[name]["formats"]
            answer["headline"] = value.headline
            answer["class"] = value.price_class or None
            answer["left_out"] = list(value.left_out)
    if _shows_prices(found, section):
        answer["caution"] = telling.caution(found)
    return answer


def _economics(economics: Economics) -> None:
    from rating import money, tenths

    rows = []
    for key, one in economics.formats.items():
        rows.append(
            (
                f"{one.name}{' *' if key == economics.headline else ''}",
                tenths.plain(one.cards_per_box) if one.cards_per_box else "",
                one.price_kind,
                money.show(one.box_price) if one.box_price else "",
                money.show(one.landed_box) if one.landed_box else "",
                money.show(one.per_pack) if one.per_pack else "",
                money.show(one.per_card) if one.per_card else "",
                money.show(one.per_hit) if one.per_hit else "",
                money.show(one.per_numbered) if one.per_numbered else "",
            )
        )
    headers = ("format", "cards", "price", "a box", "landed", "a pack", "a card", "a hit", "a numbered")
    common.table(headers, rows, right="cards|a box|landed|a pack|a card|a hit|a numbered")
    common.say()
    lines = [
        (
            line.day.isoformat(),
            packed.name,
            line.kind,
            line.unit,
            money.show(line.price),
            money.show(line.box) if line.box else "",
            money.show(line.per_card) if line.per_card else "",
            common.shorten(line.source, 30),
        )
        for packed in economics.formats.values()
        for line in packed.prices
    ]
    if lines:
        common.table(
            ("day", "format", "kind", "unit", "price", "box", "card", "source"), lines, right="price|box|card"
        )
    for words in economics.left_out:
        common.paragraph(f"Left out: {words}.")


def _content(content: Content) -> None:
    common.table(
        ("subset", "kind", "cards", "rookies", "run", "numbers", "parallels"),
        [
            (
                common.shorten(one.subset, 40),
                one.kind,
                one.cards,
                one.rookies or "",
                _span(one.lowest_run, one.highest_run),
                one.first_number if one.cards == 1 else f"{one.first_number} to {one.last_number}",
                one.parallels or "",
            )
            for one in content.subsets
        ],
        right="cards|rookies|run|parallels",
    )
    common.say()
    common.table(
        ("team", "cards", "base", "rookies", "inserts", "autographs", "relics"),
        [
            (one.team, one.cards, one.base, one.rookies, one.inserts, one.autographs, one.relics)
            for one in content.teams
        ],
        right="cards|base|rookies|inserts|autographs|relics",
    )
    if content.tiers:
        common.say()
        common.table(
            ("numbered to", "versions", "copies"),
            [(one.name, f"{one.versions:,}", f"{one.copies:,}") for one in content.tiers],
            right="versions|copies",
        )


def _span(low: int | None, high: int | None) -> str:
    if low is None or high is None:
        return ""
    return f"{low}" if low == high else f"{low}-{high}"


def _scarcity(scarcity: Scarcity) -> None:
    from rating import tenths

    common.table(
        ("format", "packs", "at least", "at most", "boxes", "cases"),
        [
            (
                key,
                _whole(one.packs.estimate),
                _whole(one.packs.low),
                _whole(one.packs.high),
                tenths.plain(one.boxes) if one.boxes is not None else "",
                tenths.plain(one.cases) if one.cases is not None else "",
            )
            for key, one in scarcity.formats.items()
        ],
        right="packs|at least|at most|boxes|cases",
    )
    common.say()
    common.table(
        ("line", "cards", "copies", "at least", "at most", "a card", "from"),
        [
            (
                common.shorten(f"{one.subset} {one.parallel}".strip(), 40),
                one.cards,
                _whole(one.copies.estimate),
                _whole(one.copies.low),
                _whole(one.copies.high),
                tenths.plain(one.per_card) if one.per_card is not None else "",
                one.basis,
            )
            for one in scarcity.lines
        ],
        right="cards|copies|at least|at most|a card",
    )
    if scarcity.promises:
        common.say()
        common.table(
            ("promise", "format", "a box", "against", "implied", "at least", "at most", "fits"),
            [
                (
                    common.shorten(one.promise, 40),
                    one.format,
                    tenths.plain(one.stated),
                    one.against,
                    tenths.fixed(one.implied),
                    tenths.fixed(one.low),
                    tenths.fixed(one.high) if one.high is not None else "",
                    "yes" if one.agrees else "no",
                )
                for one in scarcity.promises
            ],
            right="a box|implied|at least|at most",
        )


def _completing(completing: Completing) -> None:
    from rating import money, tenths, text
    from rating.facts.completing.value import FormatCompleting, SetCost

    known = {k: one for k, one in completing.formats.items() if isinstance(one, FormatCompleting)}
    common.table(
        ("format", "model", "packs", "half", "9 in 10", "boxes", "after", "different", "to swap"),
        [
            (
                key,
                model.model,
                tenths.fixed(one.packs.mean, 1) if model is one.independent else "",
                one.packs.q50 if model is one.independent else "",
                one.packs.q90 if model is one.independent else "",
                tenths.fixed(model.boxes.mean, 1),
                text.count(after.boxes, "box", "boxes"),
                tenths.fixed(after.distinct, 1),
                tenths.fixed(after.duplicates, 1),
            )
            for key, one in known.items()
            for model in (one.independent, one.no_duplicates)
            if model is not None
            for after in model.after
        ],
        right="packs|half|9 in 10|boxes|different|to swap",
    )
    rows = [
        (
            key,
            row.boxes,
            tenths.fixed(row.missing, 1),
            money.show(row.cost),
            "best" if row.boxes == cost.boxes else "",
        )
        for key, one in known.items()
        if isinstance(cost := one.best_boxes_then_singles, SetCost)
        for row in cost.rows
    ]
    if rows:
        common.say()
        common.table(
            ("format", "boxes, then singles", "missing", "cost", ""),
            rows,
            right="boxes, then singles|missing|cost",
        )
    _open_formats(completing)


def _opening(opening: Opening) -> None:
    from rating import tenths, text
    from rating.facts.opening.value import FormatOpening

    known = {k: one for k, one in opening.formats.items() if isinstance(one, FormatOpening)}
    common.table(
        ("format", "packs", "something", "beyond", "dry run", "9 in 10", "hits", "no hit", "to 25"),
        [
            (
                key,
                one.packs,
                f"{tenths.percent(one.with_something)} %",
                f"{tenths.percent(one.beyond_the_usual)} %",
                tenths.fixed(one.longest_dry, 1),
                one.longest_dry_q90,
                tenths.fixed(one.expected_hits, 2),
                f"{tenths.percent(one.hits[0])} %",
                f"{tenths.percent(one.surprise)} %",
            )
            for key, one in known.items()
        ],
        right="packs|something|beyond|dry run|9 in 10|hits|no hit|to 25",
    )
    common.say()
    counts = [text.count(number, "hit") for number in range(8)]
    common.table(
        ("format", *counts, "more"),
        [
            (
                key,
                *(f"{tenths.fixed(100 * chance, 1)} %" for chance in _first(one.hits, 8)),
                f"{tenths.fixed(100 * max(0, 1 - sum(one.hits[:8])), 1)} %",
            )
            for key, one in known.items()
        ],
        right="|".join((*counts, "more")),
    )
    for key, one in known.items():
        if one.not_counted:
            common.paragraph(
                f"Not counted in {key}, as nothing says how often they fall: {', '.join(one.not_counted)}."
            )
    _open_formats(opening)


def _first(chances: Sequence[Decimal], number: int) -> list[Decimal]:
    from decimal import Decimal

    return [*chances[:number], *[Decimal(0)] * (number - len(chances))]


def _open_formats(section: Completing | Opening) -> None:
    from rating.facts.plain import Unknown

    for key, one in section.formats.items():
        if isinstance(one, Unknown):
            common.paragraph(f"{key}: not known, {one.why}.")


def _whole(number: int | None) -> str:
    return "" if number is None else f"{number:,}"


def _history(history: History) -> None:
    from rating import money, tenths

    common.table(
        ("earlier edition", "season", "list", "street", "held", "grade"),
        [
            (
                common.shorten(one.title, 32),
                common.shorten(one.season, 34),
                money.show(one.list_price) if one.list_price else "",
                money.show(one.street_price) if one.street_price else "",
                f"{tenths.percent(one.held)} %" if one.held is not None else "",
                tenths.show(one.grade) if one.grade is not None else "",
            )
            for one in history.editions
        ],
        right="list|street|held|grade",
    )
