"""Text in encodings from before UTF-8: the letters that a person expects of the language."""

from __future__ import annotations

import pytest

from rating.release.intake import decoding

SPANISH = (
    "Nº;Nombre;Club\nN.º 1;Begoña Muñiz;Real Añil\nN.º 2;Iñaki Otero;Unido Norte\n3ª;Saúl Ortuño;Real Añil\n"
)
TURKISH = (
    "No;Oyuncu;Takım\n1;Işıl Güneş;Göl Şahinleri\n2;Yağız Çınar;Dağ Kuşları\n3;Gülşen Ağaoğlu;Göl Şahinleri\n"
)
TRADE = "No;Player;Team\n1;Zoe Tarn;Fell Herons™\n2;Pell Quist;Tarn Otters™\n3;Una Holt;Fell Herons™\n"


@pytest.mark.parametrize(
    ("content", "encoding"),
    [(SPANISH, "cp1252"), (TURKISH, "cp1254"), (TRADE, "cp1252")],
    ids=["Spanish ordinals", "Turkish", "trade marks"],
)
def test_text_is_read_in_the_encoding_of_its_language(content, encoding):
    """The sign behind 'N.' is no accent, a sign behind a name no letter."""
    assert decoding.decode(content.encode(encoding), "list.csv") == content
