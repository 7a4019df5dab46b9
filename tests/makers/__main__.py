"""`python tests/makers`: see score.py."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))  # this folder is the package `makers`

from makers.score import main

sys.exit(main())
