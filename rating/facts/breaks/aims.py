"""What buyers of slots are after: the aims that a pick can be asked for."""

ROOKIES = "rookie hunter"
AUTOGRAPHS = "autograph buyer"
SAFE = "never empty-handed"
NUMBERED = "collector of numbered cards"
BARGAIN = "bargain hunter"
LONG_SHOT = "long shot"
AIMS = (ROOKIES, AUTOGRAPHS, SAFE, NUMBERED, BARGAIN, LONG_SHOT)
