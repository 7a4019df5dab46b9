"""What a sheet can be; the words are those that a report and JSON say."""

CARD_LIST = "checklist"
PARALLEL_LIST = "parallels"
ODDS_LIST = "odds"
SOLD = "sold list"
SLOT_LIST = "list of slot prices"
SELL_SHEET = "sell sheet"
KEY = "team key"
TALK = "talk"  # of a forum: read for what it says of single cards
ASIDE = "set aside"
