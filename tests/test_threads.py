"""One thread for the linear algebra, in the command, a script and a notebook alike."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from rating import threads

COMMAND = (
    "import os, sys; from rating import cli; cli.main = lambda: print('numpy' in sys.modules, "
    "os.environ.get('OPENBLAS_NUM_THREADS')); cli.run()"
)
SCRIPT = "import os, sys, rating; print('numpy' in sys.modules, os.environ.get('OPENBLAS_NUM_THREADS'))"
# numpy first, as a notebook has it; scipy brings a library of its own, which rating loads
NOTEBOOK = (
    "import numpy, threadpoolctl, rating; import rating.numerics.robust_fit; "
    "print(sorted({one['num_threads'] for one in threadpoolctl.threadpool_info() "
    "if one['user_api'] == 'blas'}))"
)


def said(code, **given):
    """What some code prints in a fresh interpreter whose variables say what is given and no more."""
    clean = {name: value for name, value in os.environ.items() if name not in threads.VARIABLES}
    done = subprocess.run(
        [sys.executable, "-c", code], env=clean | given, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


@pytest.mark.parametrize("code", [COMMAND, SCRIPT])
@pytest.mark.parametrize(
    ("given", "taken"),
    [({}, "1"), ({"OPENBLAS_NUM_THREADS": "3"}, "3"), ({"OMP_NUM_THREADS": "2"}, "None")],
)
def test_the_linear_algebra_takes_one_thread_unless_somebody_says_otherwise(code, given, taken):
    """Told before numpy is loaded; what a person has set is left alone."""
    assert said(code, **given) == f"False {taken}"


def test_a_notebook_that_loaded_numpy_before_takes_one_thread_too():
    """The library that is loaded already is told, as is the one of scipy that comes later."""
    assert said(NOTEBOOK) == "[1]"


def test_what_a_notebook_was_given_stays():
    """Two threads where somebody asked for two."""
    assert said(NOTEBOOK, OPENBLAS_NUM_THREADS="2") == f"[{min(2, len(os.sched_getaffinity(0)))}]"
