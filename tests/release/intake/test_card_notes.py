"""Notes beside cards become values, and what says anything else stays."""

from __future__ import annotations

import csv
import io

import pytest

from rating.release.intake import card_notes

# note, then by its words: signed, relic, kind, redemption, print run, and the note that is left
NOTES = [
    ("on-card autograph", "card", "", "autograph", "", "", ""),
    ("signed on card", "card", "", "autograph", "", "", ""),
    ("Hard-signed", "card", "", "autograph", "", "", ""),
    ("sticker autographs", "sticker", "", "autograph", "", "", ""),
    ("Autograph (sticker)", "sticker", "", "autograph", "", "", ""),
    ("auto /25", "", "", "autograph", "", "25", ""),
    ("on-card autograph, redemption", "card", "", "autograph", "yes", "", ""),
    ("on-card autograph numbered to 1,000; captain", "card", "", "autograph", "", "1000", "captain"),
    ("numbered to 1,000", "", "", "insert", "", "1000", ""),
    ("game-worn swatch", "", "game-worn", "relic", "", "", ""),
    ("game-worn material", "", "game-worn", "relic", "", "", ""),
    ("player-worn", "", "player-worn", "relic", "", "", ""),
    ("material is not from any specific game, event or season", "", "unattributed", "relic", "", "", ""),
    ("sticker autograph; player-worn swatch", "sticker", "player-worn", "autograph relic", "", "", ""),
    ("on-card auto & event-worn jersey", "card", "event-worn", "autograph relic", "", "", ""),
    ("jumbo game-worn swatch", "", "game-worn", "relic", "", "", "jumbo game-worn swatch"),
    # words that are near and mean something else
    ("sticker", "", "", "insert", "", "", "sticker"),
    ("unsigned", "", "", "insert", "", "", "unsigned"),
    ("facsimile autograph", "", "", "insert", "", "", "facsimile autograph"),
    ("no on-card autograph", "", "", "insert", "", "", "no on-card autograph"),
    ("also available as on-card autograph", "", "", "insert", "", "", "also available as on-card autograph"),
    ("jersey number 7", "", "", "insert", "", "", "jersey number 7"),
]


@pytest.mark.parametrize("column", ["Notes", "Details"])
@pytest.mark.parametrize(("note", "signed", "relic", "kind", "redemption", "run", "left"), NOTES)
def test_a_note_fills_the_columns_that_it_speaks_of(
    intake, table, column, note, signed, relic, kind, redemption, run, left
):
    """A note that became a value is not repeated; one that says more stays; nothing is read into others."""
    intake(("list.csv", f'Set,Card,Player,Team,{column}\nHarbour,H-1,Una Tarn,Bells,"{note}"\n'))
    (row,) = csv.DictReader(io.StringIO(table("checklist.csv")))
    names = ("signed", "relic", "kind", "redemption", "print_run", "note")
    assert tuple(row[name] for name in names) == (signed, relic, kind, redemption, run, left)


def test_sticker_alone_says_how_a_signed_card_is_signed(intake, table):
    """In a subset of autographs the word can mean nothing else."""
    intake(("list.csv", "Set,Card,Player,Team,Notes\nHarbour Autographs,H-1,Una Tarn,Bells,sticker\n"))
    (row,) = csv.DictReader(io.StringIO(table("checklist.csv")))
    assert (row["signed"], row["note"]) == ("sticker", "")


def test_an_empty_note_tells_nothing():
    """No fact, and nothing left."""
    assert card_notes.read("") == card_notes.Told()
