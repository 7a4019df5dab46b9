"""Headings as different makers write them. Written for the generator alone; no reader may share this list."""

from __future__ import annotations

from collections.abc import Sequence

from makers.dice import Dice
from makers.documents.grid import Notes

USUAL = {
    "number": ("Card #", "No.", "#", "Card No.", "Number", "Card Number"),
    "person": ("Player", "Name", "Athlete", "Player Name", "Subject"),
    "first": ("First Name", "First", "Given name"),
    "last": ("Last Name", "Surname", "Last"),
    "team": ("Team", "Club", "Team Name", "Team / Club"),
    "subset": ("Set", "Subset", "Card Set", "Set Name", "Insert Set"),
    "program": ("Program", "Product", "Release"),
    "type": ("Type", "Card Type", "Category"),
    "parallel": ("Parallel", "Version", "Variation / Parallel"),
    "label": ("Set", "Card Set", "Set / Parallel", "Description"),
    "run": ("Numbered", "Print Run", "#'d to", "Serial #", "Seq."),
    "rookie": ("RC", "Rookie", "Rookie?"),
    "redemption": ("Redemption", "Redemption?", "Exch."),
    "note": ("Notes", "Note", "Comments"),
    "ladder": ("Parallels", "Parallel versions", "Also in"),
    "index": ("Row", "Line", "Count"),
    "year": ("Year", "Season"),
    "brand": ("Brand", "Maker", "Manufacturer"),
    "sport": ("Sport", "League"),
    "format": ("Format", "Configuration", "Box Type"),
    "odds": ("Odds", "Pack odds", "Insertion rate"),
    "id": ("Item number", "Listing ID", "ID"),
    "day": ("Date", "Sold on", "End date"),
    "title": ("Title", "Item", "Listing"),
    "price": ("Price", "Sold for", "Amount"),
    "postage": ("Shipping", "Postage", "Delivery"),
    "how": ("Sale type", "How sold", "Listing type"),
    "status": ("Status", "Outcome", "Result"),
    "slot": ("Team", "Slot", "Spot"),
    "cases": ("Cases", "Case count", "No. of cases"),
}
ODD = {
    "number": ("Ref", "Piece", "Item", "Position", "Designation", "Pos.", "Ident", "Checklist entry"),
    "person": ("Who", "Featuring", "Competitor", "Star", "On the front", "Portrait", "Talent", "Personality"),
    "first": ("Forename", "Called", "Name A"),
    "last": ("Family", "Family name", "Name B"),
    "team": ("Side", "Outfit", "Colours", "Squad", "Plays for", "Code", "Affiliation", "Home", "Crew"),
    "subset": ("Chapter", "Series", "Family", "Theme", "Collection", "Group", "Where"),
    "program": ("Title", "Line", "Project", "Range"),
    "type": ("Nature", "What it is", "Class", "Make-up", "Treatment"),
    "parallel": ("Finish", "Colour", "Tint", "Edition", "Level", "Skin"),
    "label": ("Family", "Belongs to", "Part", "Bucket", "Line item"),
    "run": ("Qty", "Copies", "Edition of", "Made", "Limited", "How many"),
    "rookie": ("New?", "First year", "Debut", "Class of", "1st"),
    "redemption": ("By post", "IOU", "Voucher", "To redeem"),
    "note": ("Remarks", "Extra", "Misc.", "Watch out"),
    "ladder": ("Colours", "Steps", "Comes as", "Levels", "Tints"),
    "index": ("Idx", "Seq", "Lfd.", "N"),
    "year": ("Edition", "Campaign", "Yr"),
    "brand": ("House", "Studio", "Label"),
    "sport": ("Discipline", "Game", "Department"),
    "format": ("Packed as", "SKU", "Route", "Channel"),
    "odds": ("Rate", "Falls", "Every", "Packs per copy", "Frequency"),
    "id": ("Key", "Handle", "Tracking"),
    "day": ("When", "Closed", "Hammer", "Finished"),
    "title": ("What", "Lot", "Headline", "Object"),
    "price": ("Went for", "Hammer price", "Takings", "Total"),
    "postage": ("P&P", "Freight", "Carriage"),
    "how": ("Manner", "Channel", "Way"),
    "status": ("State", "Verdict", "Gone?"),
    "slot": ("Who", "Pick", "Seat", "Share"),
    "cases": ("Size", "Opened", "Cartons"),
}
FOREIGN = {
    "number": ("Nr.", "Nummer", "Numéro", "Número", "Numer", "N°", "Kort nr."),
    "person": ("Spieler", "Sportler", "Joueur", "Jugador", "Zawodnik", "Atleta", "Spelare"),
    "first": ("Vorname", "Prénom", "Nombre", "Förnamn"),
    "last": ("Nachname", "Nom de famille", "Apellido", "Efternamn"),
    "team": ("Verein", "Mannschaft", "Équipe", "Equipo", "Drużyna", "Squadra", "Lag"),
    "subset": ("Serie", "Série", "Kollektion", "Colección", "Zestaw", "Gruppe"),
    "program": ("Produkt", "Produit", "Producto", "Prodotto"),
    "type": ("Art", "Genre", "Tipo", "Rodzaj", "Kategorie"),
    "parallel": ("Ausführung", "Variante", "Versión", "Wersja", "Utförande"),
    "label": ("Reihe", "Ligne", "Línea", "Teil"),
    "run": ("Auflage", "Tirage", "Tirada", "Nakład", "Upplaga"),
    "rookie": ("Neuling", "Débutant", "Novato", "Debiutant", "Nykomling"),
    "redemption": ("Gutschein", "Bon d'échange", "Canje", "Kupon"),
    "note": ("Bemerkung", "Remarque", "Nota", "Uwagi", "Anmärkning"),
    "ladder": ("Farben", "Couleurs", "Colores", "Kolory", "Färger"),
    "index": ("Zeile", "Ligne n°", "Fila", "Lp."),
    "year": ("Jahr", "Année", "Año", "Rok"),
    "brand": ("Hersteller", "Marque", "Marca", "Producent"),
    "sport": ("Sportart", "Discipline", "Deporte", "Liga"),
    "format": ("Verpackung", "Conditionnement", "Formato", "Opakowanie"),
    "odds": ("Quote", "Fréquence", "Frecuencia", "Szansa"),
    "id": ("Artikelnummer", "Référence", "Referencia"),
    "day": ("Datum", "Date de vente", "Fecha", "Data"),
    "title": ("Titel", "Titre", "Título", "Tytuł"),
    "price": ("Preis", "Prix", "Precio", "Cena"),
    "postage": ("Versand", "Port", "Envío", "Wysyłka"),
    "how": ("Verkaufsart", "Mode de vente", "Modo", "Sposób"),
    "status": ("Zustand", "Statut", "Estado", "Stan"),
    "slot": ("Verein", "Équipe", "Equipo", "Drużyna"),
    "cases": ("Kartons", "Caisses", "Cajas", "Kartony"),
}
_CODES = ("Field{}", "F_{:02d}", "COL {}", "Attr. {}", "val{}", "Data {}", "X{}", "Spalte{}", "U{:03d}")
_SHARED = ("Name", "Info", "Item", "Card", "Text", "Description")


_STYLES = {
    "odd": "odd headings",
    "foreign": "headings in another language",
    "codes": "headings that are codes",
    "gaps": "missing headings",
    "repeated": "repeated headings",
}


def headings(dice: Dice, style: str, columns: Sequence[str], notes: Notes) -> list[str]:
    """A heading for each column in a style of the grammar; columns may be `name 2` for a second person."""
    if style in _STYLES:
        notes.mark(_STYLES[style])
    words = {"odd": ODD, "foreign": FOREIGN}.get(style, USUAL)
    chosen = {name: dice.pick(options) for name, options in words.items()}
    found = []
    for column in columns:
        name, _, number = column.partition(" ")
        text = chosen.get(name, column)
        found.append(f"{text} {number}" if number else text)
    if style == "codes":
        form, step = dice.pick(_CODES), dice.pick((1, 1, 4))
        return [form.format(place * step + 1) for place in range(len(columns))]
    if style == "gaps":
        return ["" if dice.chance(0.4) else text for text in found]
    if style == "repeated":
        shared = dice.pick(_SHARED)
        names = {"number", "person", "team"} if dice.chance(0.5) else {"person", "team", "subset"}
        return [
            shared if column.partition(" ")[0] in names else text
            for column, text in zip(columns, found, strict=True)
        ]
    return found
