"""One thread for the many small matrix products of a fit.

Blocks of fifty rows gain nothing from a second thread, and where other work holds the processor
the threads wait for each other: the same fit was seen to take 3.5 s with one and 162 s with two.
"""

from __future__ import annotations

from contextlib import AbstractContextManager
from functools import cache

import scipy.linalg  # noqa: F401  (its own library of matrix products must be there to be held)
from threadpoolctl import ThreadpoolController


def one_thread() -> AbstractContextManager[object]:
    """Hold the matrix products of this process to one thread within a ``with`` block.

    The number of threads belongs to the whole process: what runs beside the fit is held too.
    """
    held: AbstractContextManager[object] = _libraries().limit(limits=1, user_api="blas")
    return held


@cache
def _libraries() -> ThreadpoolController:
    """Return the libraries found; looking for them takes some milliseconds, so once."""
    return ThreadpoolController()
