"""Facts: what follows from a release's files by arithmetic. Never an opinion.

- sections, in the order of `sections`: `economics`, `content`, `people`, `scarcity`, `chances`, `completing`,
  `opening`, `values`, `returns`, `advice`, `earlier`, `history`; `section` says what one is
- between them and the kernels: `falling` (how cards fall), `worth` (what they are worth), `breaks` (slots)
- all of a release: `gather` works them out, `facts` is what is read of them, `stored` what a review keeps
- `context`: what they need of the season; `house`: how a host runs a break; `cautions`: what goes with prices
- `typical`: what a box, a card and a hit usually cost at a price
- `frozen`: making a value one that nobody can change
- `blocks`: what a person is shown; `plain`: what cannot be computed, and the plain form for storing

Private: `said`, how chances and prices are said in words that sections share.
"""

__all__ = [
    "advice",
    "blocks",
    "breaks",
    "cautions",
    "chances",
    "completing",
    "content",
    "context",
    "earlier",
    "economics",
    "facts",
    "falling",
    "frozen",
    "gather",
    "history",
    "house",
    "opening",
    "people",
    "plain",
    "returns",
    "scarcity",
    "section",
    "sections",
    "stored",
    "typical",
    "values",
    "worth",
]
