"""One thread for the linear algebra under numpy and scipy, unless somebody says how many.

Tables here have some hundred rows: further threads only wait for each other, five times as long on two cores
and more on a busy machine. The number is read where a library is loaded, so `rating` says it when it is
imported, before any of its modules loads numpy; a notebook has often loaded numpy by then, and that copy is
told afterwards.
"""

from __future__ import annotations

import os
import sys

# where people say how many threads there shall be
VARIABLES = ("OPENBLAS_NUM_THREADS", "GOTO_NUM_THREADS", "OMP_NUM_THREADS")


def limit() -> None:
    """Take one thread in this process and those that it starts; nothing where a variable says how many."""
    if any(os.environ.get(name) for name in VARIABLES):
        return
    os.environ[VARIABLES[0]] = "1"
    if "numpy" in sys.modules:
        from threadpoolctl import threadpool_limits  # only where the variable comes too late

        threadpool_limits(1, user_api="blas")
