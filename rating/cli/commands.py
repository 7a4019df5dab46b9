"""Which commands there are, and where each is: light enough to be asked while somebody types."""

from __future__ import annotations

from collections.abc import Sequence

# the hidden first word by which a shell asks; what was typed follows it, the word that is begun last
COMPLETE = "--complete"
# by what a person types, in the order of an evening's work: the module in this room and its function
COMMANDS = {
    "demo": "season.demo:demo",
    "start": "season.start:start",
    "add": "season.add:add",
    "intake": "everyday.intake:intake",
    "price": "everyday.price:price",
    "opened": "everyday.opened:opened",
    "tonight": "everyday.tonight:tonight",
    "check": "everyday.check:check",
    "facts": "everyday.facts:facts",
    "find": "everyday.find:find",
    "slots": "everyday.slots:slots",
    "grade": "everyday.grade:grade",
    "scoresheet": "export.scoresheet:scoresheet",
    "take-in": "everyday.take_in:take_in",
    "standings": "everyday.standings:standings",
    "stability": "everyday.stability:stability",
    "weights": "everyday.weights:weights",
    "what-if": "everyday.what_if:what_if",
    "why": "everyday.why:why",
    "explain": "help.explain:explain",
    "doctor": "help.doctor:doctor",
    "completion": "help.completion:completion",
    "export workbook": "export.workbook:workbook",
    "export tables": "export.tables:tables",
    "ledger history": "ledger.history:history",
    "ledger note": "ledger.note:note",
    "ledger due": "ledger.due:due",
    "ledger errata": "ledger.errata:errata",
    "ledger withdraw": "ledger.withdraw:withdraw",
    "ledger verify": "ledger.verify:verify",
    "ledger prove": "ledger.prove:prove",
    "ledger check": "ledger.check:check",
    "ledger backup": "ledger.backup:backup",
    "ledger restore": "ledger.restore:restore",
    "ledger merge": "ledger.merge:merge",
    "ledger export": "ledger.export:export",
    "ledger import": "ledger.take_over:take_over",
    "criteria list": "criteria.listing:list_",
    "criteria show": "criteria.show:show",
    "criteria test": "criteria.try_out:try_out",
}
# the commands of two words, by the first
GROUPS = {
    "export": "Write the season for others: a workbook that recomputes, or plain tables.",
    "ledger": "History, withdrawal and proof of the recorded reviews, and copies of them.",
    "criteria": "List, show and test the criteria.",
}


def called(words: Sequence[str]) -> str:
    """The command that some words begin with, '' where they begin with none."""
    for length in (1, 2):
        if (name := " ".join(words[:length])) in COMMANDS:
            return name
    return ""


def place_of(name: str) -> tuple[str, str]:
    """The module of a command inside this room, and its function."""
    module, _, function = COMMANDS[name].partition(":")
    return module, function
