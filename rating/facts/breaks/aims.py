"""What buyers of slots are after: the aims that a pick can be asked for."""

ROOKIES = "rookie hunter"
AUTOGRAPHS = "autograph buyer"
SAFE = "never empty-handed"
SET = "set completer"
TEAM = "team collector"
NUMBERED = "collector of numbered cards"
BARGAIN = "bargain hunter"
AIMS = (ROOKIES, AUTOGRAPHS, SAFE, SET, TEAM, NUMBERED, BARGAIN)
