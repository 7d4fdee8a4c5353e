# SPDX-License-Identifier: GPL-3.0-or-later
"""One thread for NumPy's linear algebra while a drape is computed.

The solver works on many small matrices. Sharing each among threads costs up to twenty times what
it saves, and lets the last bits of a result depend on the machine's load.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from typing import Any

__all__ = ["one_thread"]


@lru_cache(maxsize=1)
def _controller() -> Any:
    """Finds NumPy's linear algebra once; None without threadpoolctl."""
    try:
        from threadpoolctl import ThreadpoolController
    except ImportError:
        return None
    return ThreadpoolController()


_limited: ContextVar[bool] = ContextVar("limited", default=False)


@contextmanager
def one_thread() -> Iterator[None]:
    """Within this context dense products and factorizations run on one thread."""
    controller = _controller()
    if controller is None or _limited.get():
        yield
        return
    within = _limited.set(True)
    try:
        with controller.limit(limits=1, user_api="blas"):
            yield
    finally:
        _limited.reset(within)
