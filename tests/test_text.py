"""Cleaning of text: one form for comparing, one for keeping, guards for names and marks."""

from __future__ import annotations

import html
import re
import sys
import unicodedata

import cmarkgfm
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import text

# characters that a foreign checklist really holds: accents in two forms, odd blanks, letters of other scripts
foreign = st.text(st.sampled_from("aBß İıſÅÅéé\u0301\u00a0\u2003\u3000\t\n-ÆøŁžΣσςЖ漢"), max_size=30)


@given(foreign)
def test_tidy_text_is_composed_with_single_blanks(written):
    """NFC, no blank at the ends, no two together; and tidying it again changes nothing."""
    clean = text.tidy(written)
    assert unicodedata.is_normalized("NFC", clean)
    assert clean == " ".join(clean.split())
    assert text.tidy(clean) == clean


@given(foreign)
def test_tidying_keeps_every_letter(written):
    """Only blanks and the way of composing change."""
    bare = "".join(text.tidy(written).split())
    assert unicodedata.normalize("NFD", bare) == unicodedata.normalize("NFD", "".join(written.split()))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Orla Łowicz", "ORLA  ŁOWICZ"),
        ("Núñez-Holm", "Nu\u0301n\u0303ez-Holm"),
        ("Straße", "STRASSE"),
        ("St. Orrin Sextons", "st. orrin\u00a0sextons "),
        ("ΣΟΦΟΣ", "σοφος"),
    ],
)
def test_spellings_that_differ_in_form_only_are_one(one, other):
    """Capitals, blanks and decomposed accents make no other name."""
    assert text.key(one) == text.key(other)


@pytest.mark.parametrize(
    ("one", "other"), [("Orla Lowicz", "Orla Łowicz"), ("Base 1", "Base 11"), ("A B", "AB")]
)
def test_names_that_differ_stay_apart(one, other):
    """Comparing is no guessing: a stroke or a blank inside a name counts."""
    assert text.key(one) != text.key(other)


def test_comparing_is_settled_for_every_character():
    """The compared form of a compared form is itself, for each of Unicode's characters."""
    unsettled = [
        f"U+{code:04X}"
        for code in range(sys.maxunicode + 1)
        if unicodedata.category(chr(code)) not in {"Cn", "Co", "Cs"}
        for once in [text.key(chr(code))]
        if text.key(once) != once or text.key(text.tidy(chr(code))) != once
    ]
    assert unsettled == []


@pytest.mark.parametrize(
    ("written", "mark"),
    [
        ("Hal\u202eyard", "U+202E"),
        ("\u2066Halyard", "U+2066"),
        ("Hal\u200byard", "U+200B"),
        ("Hal\u00adyard", "U+00AD"),
        ("Halyard\x07", "U+0007"),
        ("Hal\x1b[31myard", "U+001B"),
        ("\ufeffHalyard", "U+FEFF"),
        ("Hal\ue000yard", "U+E000"),
        ("Hal\ud800yard", "U+D800"),
        ("Hal\U000e0041yard", "U+E0041"),
    ],
)
def test_marks_that_hide_what_a_name_says_are_found(written, mark):
    """Control, direction, invisible, private and broken marks, by their number."""
    assert text.bad_marks(written) == mark


@pytest.mark.parametrize(
    "name", ["Hesper Núñez-Holm", "Łowicz & Søgaard’s №7", "漢字 カタカナ", "Жанна", "½ 🏒", ""]
)
def test_letters_of_any_script_are_no_bad_marks(name):
    """A name may be written as its owner writes it."""
    assert text.bad_marks(name) == ""


@pytest.mark.parametrize(
    "name", ["halyard", "deep-harbour-2", "2031", "a", "a" * 60, "console", "com10", "lpt"]
)
def test_good_slugs_are_taken(name):
    """a-z, 0-9 and single hyphens, sixty at most."""
    assert text.why_no_slug(name) == ""


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("", "empty"),
        ("a" * 61, "61 characters"),
        ("a" * 300, "300 characters"),
        ("../x", "only a-z"),
        ("..", "only a-z"),
        (".", "only a-z"),
        ("/etc", "only a-z"),
        ("c:\\x", "only a-z"),
        ("a/b", "only a-z"),
        ("Halyard", "only a-z"),
        ("-a", "only a-z"),
        ("a-", "only a-z"),
        ("a--b", "only a-z"),
        ("a b", "only a-z"),
        ("halyard\n", "only a-z"),
        ("höhe", "only a-z"),
        ("１２", "only a-z"),
        ("a\0", "only a-z"),
        ("con", "reserved"),
        ("nul", "reserved"),
        ("com1", "reserved"),
        ("lpt9", "reserved"),
    ],
)
def test_bad_slugs_are_refused_with_the_reason(name, why):
    """What would leave the folder, or is no folder on another system, says why."""
    assert why in text.why_no_slug(name)


@given(st.text(max_size=80))
def test_a_slug_made_from_a_title_is_one_or_empty(title):
    """Nothing but its letters can be wrong with it: it is never too long or oddly written."""
    slug = text.slug_of(title)
    assert slug == "" or text.why_no_slug(slug) in {"", "that name is reserved on some systems"}


def test_a_slug_is_made_from_a_title():
    """Accents go, everything else that is no letter becomes one hyphen."""
    assert text.slug_of("Wickfield 2031 Halyard") == "wickfield-2031-halyard"
    assert text.slug_of("  Søgaard & Núñez: No. 1! ") == "sgaard-nunez-no-1"


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "\0"])
def test_text_that_a_spreadsheet_would_run_is_guarded(start):
    """OWASP, CSV Injection, with NUL from ASVS 1.2.10: an apostrophe goes before each of these marks."""
    assert text.as_data(f"{start}1+1") == f"'{start}1+1"
    assert text.as_data(f"a{start}1") == f"a{start}1"


def test_empty_text_stays_empty():
    """There is nothing to guard in nothing."""
    assert text.as_data("") == ""


@given(st.text(max_size=40))
def test_what_is_printed_holds_no_control_marks(written):
    """A terminal is never sent an escape; what could not be seen is written out."""
    shown = text.printable(written)
    assert text.bad_marks(shown.replace("\n", "")) == ""


def test_marks_are_written_out():
    """A direction mark reads as its number; a line end stays."""
    assert text.printable("Hal\u202eyard\x1b\n") == "Hal<U+202E>yard<U+001B>\n"
    assert text.printable("Núñez") == "Núñez"


@pytest.mark.parametrize(
    ("words", "listed"), [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")]
)
def test_words_are_listed_as_in_a_sentence(words, listed):
    """Commas, and one word before the last."""
    assert text.listed(words) == listed
    assert text.listed(words, "or") == listed.replace(" and ", " or ")


def test_words_that_nearly_all_titles_share_are_dropped():
    """The year and the sport say nothing in a list of one season; two titles are left alone."""
    titles = ["2031 Halyard Roller", "2031 Oakum Roller", "2031 Foghorn Roller", "2031 Lantern Room"]
    # "2031" stands in four of four; "Roller" in three of four, which is not more than three quarters
    assert text.short_titles(titles) == ["Halyard Roller", "Oakum Roller", "Foghorn Roller", "Lantern Room"]
    assert text.short_titles(titles[:2]) == titles[:2]
    named = text.short_names(dict(zip("abcd", titles, strict=True)))
    assert named == {"a": "Halyard Roller", "b": "Oakum Roller", "c": "Foghorn Roller", "d": "Lantern Room"}


@given(st.lists(st.sampled_from(["2031 A", "2031 B", "2031 C B", "2031", "A B", "2031 D,"]), max_size=8))
def test_short_titles_tell_apart_what_titles_tell_apart(titles):
    """As many different titles stay, and none is blank."""
    short = text.short_titles(titles)
    assert len(short) == len(titles)
    assert len(set(short)) == len(set(titles))
    assert all(short)


@pytest.mark.parametrize(
    ("number", "shown"), [(0, "0 cards"), (1, "1 card"), (2, "2 cards"), (1200, "1,200 cards")]
)
def test_a_number_stands_with_its_noun(number, shown):
    """One card, two cards; thousands are marked."""
    assert text.count(number, "card") == shown


def test_an_odd_plural_is_given():
    """Words that take no s have their plural named."""
    assert text.count(2, "copy", "copies") == "2 copies"


@pytest.mark.parametrize(
    ("place", "said"),
    [(1, "1st"), (2, "2nd"), (3, "3rd"), (12, "12th"), (21, "21st"), (102, "102nd"), (111, "111th")],
)
def test_places_are_said_as_ordinals(place, said):
    """Eleven to thirteen end as all others."""
    assert text.ordinal(place) == said


@pytest.mark.parametrize(
    ("given", "names", "told"),
    [
        ("halyrad", ["halyard", "gatehouse"], "did you mean halyard?"),
        ("HALYARD", ["halyard"], "did you mean halyard?"),
        ("halyard-lat", ["halyard", "halyard-late-watch", "halyard-lap"], "did you mean halyard-lap?"),
        ("ab", ["ac", "ad", "ae"], ""),
        ("abc", ["abd", "abe", "abf", "abg"], "did you mean abd, abe or abf?"),
        ("weather", [], ""),
    ],
)
def test_what_was_likely_meant_is_asked(given, names, told):
    """At most three, those about as near as the nearest: 2 of 3 letters alike are near, 1 of 2 not."""
    assert text.did_you_mean(given, names) == told


def test_a_hint_stands_before_what_else_can_be_done():
    """Where nothing is near it is what else alone."""
    assert text.hinted("halyrad", ["halyard"], "add it") == "did you mean halyard? Or add it"
    assert text.hinted("weather", ["halyard"], "add it") == "add it"


# every mark of Markdown and HTML, with the words that make links, entities and blocks of them
marks = st.lists(
    st.sampled_from(
        [
            *"\\`*_{}[]()<>#+-.!|~&:/=\"' \t12ab",
            "&amp;",
            "&#35;",
            "https://x.yz",
            "HTTP://x.yz",
            "www.x.yz",
            "WWW.",
            "ftp://x.yz",
            "<b>",
            "<!--",
            "![x](y)",
            "[x]: y",
            "~~",
            "**",
            "1. ",
            "- ",
            "# ",
            "```",
            "---",
            "\n",
            "é",
        ]
    ),
    max_size=12,
).map("".join)
FORMS = {
    "heading": ("# {}: standings", {"h1"}),
    "item": ("- {}", {"ul", "li"}),
    "quotation": ("> {}", {"blockquote", "p"}),
    "cell": ("| a | b |\n|---|---|\n| {} | c |", {"table", "thead", "tbody", "tr", "th", "td"}),
}


@pytest.mark.parametrize("form", FORMS)
@given(written=marks)
def test_text_in_markdown_is_shown_as_it_is(form, written):
    """By GitHub's own reader: no link, block, entity or HTML comes of it, and every letter is there."""
    frame, tags = FORMS[form]
    shown = text.as_markdown(written, begins=form in {"item", "quotation"})
    page = cmarkgfm.github_flavored_markdown_to_html(frame.format(shown))
    assert set(re.findall(r"<(\w+)", page)) <= tags
    told = html.unescape(re.sub(r"<[^>]*>", " ", page))
    before, after = ("ab", "c") if form == "cell" else ("", frame[2:].partition("{}")[2])
    assert "".join(told.split()) == "".join(f"{before}{written}{after}".split())
