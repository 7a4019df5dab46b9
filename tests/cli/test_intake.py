"""boxwright intake, as a person and a script use it."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from rating.cli import main

HALYARD = Path(__file__).resolve().parents[1] / "release" / "intake" / "data" / "halyard"


@pytest.fixture
def season(tmp_path, capsys, monkeypatch):
    """A new season with a new release, as `start` and `add` leave them."""
    path = tmp_path / "season"
    assert main(["start", str(path), "--name", "Harbour league"]) == 0
    monkeypatch.setenv("BOXWRIGHT_SEASON", str(path))
    monkeypatch.setenv("BOXWRIGHT_TODAY", "2031-07-15")
    assert main(["add", "halyard", "--title", "Wickfield 2031 Halyard Roller Hockey"]) == 0
    capsys.readouterr()
    return path


def test_an_evening_with_a_new_release(season, capsys):
    """Right after `add`, before anything is filled in, the files of a maker are taken in."""
    files = [str(HALYARD / name) for name in ("checklist.xlsx", "odds.xlsx", "sold.csv", "sell_sheet.txt")]
    assert main(["intake", "halyard", *files, "--yes"]) == 0
    told = capsys.readouterr().out
    assert "checklist.csv: new, 423 cards." in told
    assert all(len(line) <= 100 for line in told.splitlines())
    folder = season / "releases" / "halyard"
    for name in ("checklist.csv", "odds.csv", "parallels.csv"):
        assert (folder / name).read_bytes() == (HALYARD / "tidy" / name).read_bytes()
    text = (folder / "release.toml").read_text(encoding="utf-8")
    text = text.replace('maker = ""', 'maker = "Wickfield"').replace('line = ""', 'line = "Halyard"')
    (folder / "release.toml").write_text(text, encoding="utf-8")
    assert main(["facts", "halyard"]) == 0
    assert main(["grade", "halyard"]) == 0


def test_scripts_get_the_whole_answer(season, capsys):
    """Tables, rows set aside, problems and changes."""
    assert main(["intake", "halyard", str(HALYARD / "checklist.xlsx"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["tables"] == {"checklist.csv": 423, "parallels.csv": 23}
    assert told["changed"] == {"added": 446, "removed": 0, "altered": 0}
    assert [(one["sheet"], one["row"]) for one in told["set_aside"]] == [
        ("Master CL", 480),
        ("Master CL", 481),
    ]
    assert told["problems"] == []


def test_a_problem_ends_with_one(season, tmp_path, capsys):
    """And is told with its row."""
    path = tmp_path / "list.csv"
    path.write_text("Card,Player,Team\n1,Pell Skelwith,Bells\n2,,Bells\n3,Una Tarn,Bells\n", encoding="utf-8")
    assert main(["intake", "halyard", str(path)]) == 1
    assert "    line 3: the card has no name" in capsys.readouterr().out


def test_a_refused_file_ends_with_one_and_writes_nothing(season, tmp_path, capsys):
    """What, where and how to mend it on standard error."""
    path = tmp_path / "list.xlsx"
    path.write_bytes(b"%PDF-1.7")
    assert main(["intake", "halyard", str(path)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert "this is a PDF, not a table" in told.err
    assert not (season / "releases" / "halyard" / "intake.json").exists()


def test_a_file_is_taken_back_by_its_name(season, tmp_path, capsys):
    """And a name that nothing was taken in by is refused with those that were."""
    path = tmp_path / "list.csv"
    path.write_text("Card,Player,Team\n1,Pell Skelwith,Bells\n2,Una Tarn,Bells\n", encoding="utf-8")
    assert main(["intake", "halyard", str(path)]) == 0
    assert main(["intake", "halyard", "--forget", "lost.csv"]) == 1
    assert "name one of these: list.csv" in capsys.readouterr().err
    assert main(["intake", "halyard", "--forget", "list.csv"]) == 0
    assert "checklist.csv: 2 removed; it now has 0 cards." in capsys.readouterr().out
    assert main(["intake", "halyard"]) == 2
    assert main(["intake", "halyard", str(path), "--forget", "list.csv"]) == 2


def test_asking_needs_a_terminal(season, capsys):
    """Elsewhere it says what to do instead."""
    assert main(["intake", "halyard", str(HALYARD / "checklist.xlsx"), "--ask"]) == 1
    assert "--ask needs a terminal" in capsys.readouterr().err


def test_answers_at_the_terminal_are_taken_and_remembered(season, tmp_path, capsys, monkeypatch):
    """The first guess is chosen for a doubtful title; the next run has no doubt."""
    from rating.cli.shared import printing

    sold = tmp_path / "sold.csv"
    sold.write_text(
        "Date,Title,Price\n2031-04-01,2031 Halyard Ulric Wetherill 7/33,$5.00\n", encoding="utf-8"
    )
    assert main(["intake", "halyard", str(HALYARD / "checklist.xlsx")]) == 0
    monkeypatch.setattr(printing, "is_terminal", lambda: True)
    monkeypatch.setattr("typer.prompt", lambda *_, **__: "1")
    assert main(["intake", "halyard", str(sold), "--ask"]) == 0
    assert "hand" in (season / "releases" / "halyard" / "sales.csv").read_text(encoding="utf-8")
    capsys.readouterr()
    assert main(["intake", "halyard", str(sold), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["doubtful"] == []
    assert told["matches"] == {"hand": 1}


def test_a_revised_list_says_what_it_does_to_the_review(own_season, tmp_path, capsys, monkeypatch):
    """After the report, in a sentence."""
    monkeypatch.setenv("BOXWRIGHT_SEASON", str(own_season))
    text = (own_season / "releases" / "halyard" / "checklist.csv").read_text(encoding="utf-8")
    path = tmp_path / "revised.csv"
    lines = [line for line in text.splitlines() if not line.startswith("Deck Signatures,")]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert main(["intake", "halyard", str(path), "--replace"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "Your recorded review" in told
    assert "the grade would go from" in told


def test_slot_prices_go_in_and_come_out_of_check_without_an_error(own_season, tmp_path, capsys, monkeypatch):
    """A host's list of one case, taken in beside the shop's, which stays; the recorded grade does too."""
    monkeypatch.setenv("BOXWRIGHT_SEASON", str(own_season))
    path = tmp_path / "asks.csv"
    path.write_text("Hobby PYT 2031-05-03\nTeam,Price\nOtters/Herons,$290\nBells,$25\n", encoding="utf-8")
    table = own_season / "releases" / "halyard" / "slots.csv"
    before = table.read_text(encoding="utf-8")
    assert main(["intake", "halyard", str(path), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["tables"] == {"slots.csv": before.count("\n") + 1}
    assert told["changed"] == {"added": 2, "removed": 0, "altered": 0}
    assert table.read_text(encoding="utf-8") == before + (
        "2031-05-03,hobby,Brindle Quay Otters + Saltmarsh Herons,290.00,fixed,,USD,asks.csv\n"
        "2031-05-03,hobby,Thornwick Bells,25.00,fixed,,USD,asks.csv\n"
    )
    assert main(["check", "halyard"]) == 0
    assert "slots.csv" not in capsys.readouterr().out


FIRST = ["Ada", "Bram", "Cleo", "Dorian", "Edda", "Fenn", "Greta", "Hollis", "Ines", "Joss"]
CARDS = "Number,Player,Team,Zq\n" + "".join(
    f"{place + 1},{FIRST[place % 10]} {'Quill' if place < 10 else 'Marrow'},"
    f"{'Harbour' if place % 2 else 'Ferry'},{'x' if place < 3 else ''}\n"
    for place in range(20)
)


def marked(name):
    """The cards that the checklist of a release has as redemptions."""
    with Path(name).open(encoding="utf-8", newline="") as file:
        return [row["number"] for row in csv.DictReader(file) if row["redemption"]]


def test_an_answer_is_kept_for_the_makers_next_release(season, tmp_path, capsys):
    """Asked once, answered in a file, known for every later list of this maker."""
    cards = tmp_path / "base set.csv"
    cards.write_text(CARDS, encoding="utf-8")
    sheets = [season / "releases" / name / "release.toml" for name in ("halyard", "tideway")]
    assert main(["add", "tideway", "--title", "Wickfield 2032 Tideway"]) == 0
    for path in sheets:
        text = path.read_text(encoding="utf-8").replace('maker = ""', 'maker = "Wickfield"')
        path.write_text(text, encoding="utf-8")
    capsys.readouterr()
    assert main(["intake", "halyard", str(cards), "--json"]) == 0
    (asked,) = json.loads(capsys.readouterr().out)["questions"]
    assert "Zq" in asked["what"]
    assert asked["cells"] == ["D2", "D3", "D4"]
    answers = tmp_path / "answers.json"
    answers.write_text(json.dumps({asked["id"]: "perhaps"}), encoding="utf-8")
    assert main(["intake", "halyard", str(cards), "--answers", str(answers), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["questions"] == [asked]
    assert (
        told["notes"][-1] == f"the answer to {asked['id']!r} is not a choice of its question; it was not used"
    )
    assert '"perhaps"' not in (season / "makers" / "wickfield.toml").read_text(encoding="utf-8")
    answers.write_text(json.dumps({asked["id"]: "redemption", "kind: nothing": "base"}), encoding="utf-8")
    assert main(["intake", "halyard", str(cards), "--answers", str(answers), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["questions"] == []
    assert told["notes"][-2:] == [
        "1 answer kept in makers/wickfield.toml",
        "the answer to 'kind: nothing' belongs to no question about these files; it was not used",
    ]
    assert marked(season / "releases" / "halyard" / "checklist.csv") == ["1", "2", "3"]
    assert main(["intake", "tideway", str(cards), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["questions"] == []
    assert marked(season / "releases" / "tideway" / "checklist.csv") == ["1", "2", "3"]


NEXT = "Zq,Ferryman,Player\n" + "".join(
    f"{place + 1},{'Harbour' if place % 2 else 'Ferry'},"
    f"{FIRST[place % 10]} {'Quill' if place < 10 else 'Pell'}\n"
    for place in range(20)
)


def test_a_layout_is_kept_and_can_be_edited_for_the_makers_next_release(season, tmp_path, capsys):
    """What was sure of each column is written down by its headings; a person's word there wins."""
    cards = tmp_path / "base set.csv"
    cards.write_text(CARDS, encoding="utf-8")
    assert main(["add", "tideway", "--title", "Wickfield 2032 Tideway"]) == 0
    for name in ("halyard", "tideway"):
        path = season / "releases" / name / "release.toml"
        text = path.read_text(encoding="utf-8").replace('maker = ""', 'maker = "Wickfield"')
        path.write_text(text, encoding="utf-8")
    assert main(["intake", "halyard", str(cards)]) == 0
    kept = season / "makers" / "wickfield.toml"
    told = kept.read_text(encoding="utf-8")
    assert 'headings = ["Number", "Player", "Team", "Zq"]' in told
    assert 'columns = ["number", "subject", "team", ""]' in told
    kept.write_text(told.replace('"team", ""]', '"team", "redemption"]'), encoding="utf-8")
    capsys.readouterr()
    assert main(["intake", "tideway", str(cards), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["questions"] == []
    assert marked(season / "releases" / "tideway" / "checklist.csv") == ["1", "2", "3"]
    assert kept.read_text(encoding="utf-8").count("[[layouts]]") == 1


def test_a_layout_is_not_kept_where_the_list_was_likely_misread(season, tmp_path, capsys):
    """Ten names recur on sixty cards, as teams would; it is kept once somebody said that it is so."""
    cards = tmp_path / "base set.csv"
    names = [
        f"{one} {other}" for one in ("Tarn", "Fell", "Moor", "Weir", "Quay") for other in ("Gulls", "Foxes")
    ]
    cards.write_text(
        "Number,Player\n" + "".join(f"{i + 1},{names[i % 10]}\n" for i in range(60)), encoding="utf-8"
    )
    assert main(["intake", "halyard", str(cards), "--json"]) == 0
    (asked,) = [
        one["id"]
        for one in json.loads(capsys.readouterr().out)["questions"]
        if one["id"].startswith("list: ")
    ]
    assert not (season / "makers").exists()
    answers = tmp_path / "answers.json"
    answers.write_text(json.dumps({asked: "as read"}), encoding="utf-8")
    assert main(["intake", "halyard", str(cards), "--answers", str(answers)]) == 0
    (kept,) = (season / "makers").iterdir()
    assert "[[layouts]]" in kept.read_text(encoding="utf-8")


def test_the_columns_of_a_release_win(season, tmp_path, capsys):
    """What [columns] names goes before the trade's own words and what stands in a column."""
    cards = tmp_path / "base set.csv"
    cards.write_text(NEXT, encoding="utf-8")
    path = season / "releases" / "halyard" / "release.toml"
    columns = '[columns]\nnumber = ["Zq"]\nteam = ["Player"]\nsubject = "Ferryman"\n'
    path.write_text(path.read_text(encoding="utf-8") + columns, encoding="utf-8")
    assert main(["intake", "halyard", str(cards)]) == 0
    table = season / "releases" / "halyard" / "checklist.csv"
    assert "Base,base,2,Harbour,Bram Quill," in table.read_text(encoding="utf-8")


def test_a_layout_of_another_shape_is_refused(season, tmp_path, capsys):
    """With how it is written, and the roles that there are."""
    cards = tmp_path / "base set.csv"
    cards.write_text(CARDS, encoding="utf-8")
    kept = season / "makers" / "halyard.toml"
    kept.parent.mkdir()
    kept.write_text('[[layouts]]\nheadings = ["Number"]\ncolumns = ["shoe"]\n', encoding="utf-8")
    assert main(["intake", "halyard", str(cards)]) == 1
    assert "a layout's column is 'shoe'" in capsys.readouterr().err


@pytest.mark.parametrize("content", ["[]", "{", '{"a": 3}'])
def test_answers_that_are_none_are_refused(season, tmp_path, capsys, content):
    """With the form that they must have, and nothing changed."""
    answers = tmp_path / "answers.json"
    answers.write_text(content, encoding="utf-8")
    assert main(["intake", "halyard", str(HALYARD / "odds.xlsx"), "--answers", str(answers)]) == 1
    told = capsys.readouterr().err
    assert "answers" in told
    assert '{"kind: steady hands": "autograph"}' in told
    assert not (season / "releases" / "halyard" / "odds.csv").exists()


def test_a_reading_is_explained(season, tmp_path, capsys):
    """Each column with its role and how sure it is, unused ones too, and three rows by these roles."""
    cards = tmp_path / "base set.csv"
    cards.write_text(CARDS, encoding="utf-8")
    assert main(["intake", "halyard", str(cards), "--explain"]) == 0
    told = capsys.readouterr().out
    assert "base set.csv: checklist\n  'Number': number (sure)\n  'Player': subject (sure)\n" in told
    assert "  'Zq': not used\n" in told
    assert "  for example: row 2: Base: 1 Ada Quill, Ferry, base\n" in told
    assert all(len(line) <= 100 for line in told.splitlines())


def test_the_report_goes_by_the_columns_of_the_screen(season, tmp_path, capsys, monkeypatch):
    """COLUMNS says how wide it is, up to a page."""
    cards = tmp_path / "base set.csv"
    cards.write_text(CARDS, encoding="utf-8")
    for columns, widest in (("60", 60), ("300", 100)):
        monkeypatch.setenv("COLUMNS", columns)
        assert main(["intake", "halyard", str(cards), "--explain"]) == 0
        assert max(map(len, capsys.readouterr().out.splitlines())) <= widest


def test_every_document_is_explained(season, tmp_path, capsys):
    """Odds, sold lists and parallels by their columns, a sell sheet by its words, three rows of each."""
    files = {
        "cards.csv": CARDS.replace(",Zq", "").replace(",x\n", "\n").replace(",\n", "\n"),
        "odds.csv": "Set,Hobby\nBase,1:2\nBase - Rust,1:24\n",
        "sold.csv": "When,What,Paid\n2031-04-01,2031 Halyard Ada Quill #1,$5.00\n"
        "2031-04-02,2031 Halyard Bram Quill #2,$6.50\n2031-04-03,2031 Halyard Cleo Quill #3,$7.00\n",
        "ladder.csv": "Parallel,Numbered to\nRust,99\nPlum,25\nMoss,10\n",
        "sheet.txt": "Marlow 2031 Halyard\n\nHobby: 6 cards per pack, 20 packs per box, 12 boxes per case.\n",
    }
    for name, content in files.items():
        (tmp_path / name).write_text(content, encoding="utf-8")
    assert main(["intake", "halyard", *(str(tmp_path / name) for name in files), "--explain"]) == 0
    told = capsys.readouterr().out
    assert "odds.csv: odds\n  'Set': subset (sure)\n  'Hobby': packs_per_copy of hobby (sure)\n" in told
    assert "  for example: row 3: Base Rust: one in 24 packs of hobby\n" in told
    assert (
        "sold.csv: sold list\n  'When': date (sure)\n  'What': title (sure)\n  'Paid': price (sure)\n" in told
    )
    assert "row 2: 2031-04-01, 5.00 USD: Base 1, from '2031 Halyard Ada Quill #1'" in " ".join(told.split())
    assert "ladder.csv: parallels\n  'Parallel': parallel (sure)\n  'Numbered to': print_run (sure)\n" in told
    assert "  for example: row 2: Base Rust, numbered to 99\n" in told
    assert '  for example: formats.hobby.cards_per_pack: 6  <- "' in told


def test_teams_that_the_season_lacks_are_offered_and_added(season, tmp_path, capsys):
    """Names from the cards, codes and divisions from the file's own key; comments of season.toml stay."""
    cards = tmp_path / "cards.csv"
    cards.write_text(CARDS.replace("Harbour", "HAR").replace("Ferry", "FER"), encoding="utf-8")
    key = tmp_path / "key.csv"
    key.write_text("Code,Team,Division\nHAR,Harbour Otters,Outer\nFER,Ferry Bells,Inner\n", encoding="utf-8")
    settings = season / "season.toml"
    before = settings.read_text(encoding="utf-8")
    assert main(["intake", "halyard", str(cards), str(key)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "season.toml lacks 2 teams that the checklist shows (Ferry Bells and Harbour Otters)" in told
    assert settings.read_text(encoding="utf-8") == before
    assert main(["intake", "halyard", str(cards), str(key), "--teams"]) == 0
    capsys.readouterr()
    added = settings.read_text(encoding="utf-8")
    assert added.startswith(before.rstrip("\n"))
    assert '[[teams]]\nname = "Ferry Bells"\ndivision = "Inner"\ncode = "FER"\n' in added
    assert main(["intake", "halyard", str(cards), str(key), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["teams"] == []
