"""What is kept of a maker's documents: answers given once, and words over columns."""

from __future__ import annotations

import pytest

from rating.errors import RatingError
from rating.season import makers


def test_a_maker_has_a_file_and_a_release_without_one_too(tmp_path):
    """Named as a folder could be named on any machine."""
    assert makers.path_of(tmp_path, "Wickfield & Sons", "halyard").name == "wickfield-sons.toml"
    assert makers.path_of(tmp_path, "", "halyard").name == "halyard.toml"
    assert makers.path_of(tmp_path, "Con", "halyard").name == "halyard.toml"


def test_answers_are_kept_beside_what_a_person_wrote(tmp_path):
    """Comments stay; an answer given anew takes the place of the old one."""
    path = tmp_path / "makers" / "wickfield.toml"
    assert makers.keep(path, {"kind: steady hands": "autograph"})
    assert not makers.keep(path, {"kind: steady hands": "autograph"})
    text = path.read_text(encoding="utf-8")
    path.write_text(f"# mine\n{text}\n[columns]\nsubject = ['Skater']\n", encoding="utf-8")
    assert makers.keep(path, {"kind: steady hands": "relic", "column: x": "team"})
    assert path.read_text(encoding="utf-8").startswith("# mine\n")
    words = makers.read(path)
    assert words.answers == {"kind: steady hands": "relic", "column: x": "team"}
    assert words.columns == {"subject": ("Skater",)}


def test_no_file_says_nothing(tmp_path):
    """Nothing is known of a new maker."""
    assert makers.read(tmp_path / "x.toml") == makers.MakerWords()


@pytest.mark.parametrize(
    ("content", "what"),
    [
        ("answers = 3\n", "answers is not a table of texts"),
        ("[answers]\nx = 3\n", "answers is not a table of texts"),
        ("[columns]\nnonsense = ['a']\n", "columns.nonsense is not a column"),
        ("format = 99\n", "format"),
        ("[answers\n", ""),
    ],
)
def test_a_damaged_file_is_named(tmp_path, content, what):
    """With what is wrong, and no traceback."""
    path = tmp_path / "x.toml"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(RatingError) as caught:
        makers.read(path)
    assert what in str(caught.value)
