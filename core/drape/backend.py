# SPDX-License-Identifier: GPL-3.0-or-later
"""Which of two twins runs: the compiled module where Numba is installed, else the array code."""

from functools import lru_cache
from importlib import import_module
from types import ModuleType

__all__ = ["chosen"]


@lru_cache
def chosen(name: str) -> ModuleType:
    """The module ``<name>_compiled`` beside this one where Numba is installed, else ``name``."""
    try:
        return import_module(f".{name}_compiled", __package__)
    except ImportError:
        return import_module(f".{name}", __package__)
