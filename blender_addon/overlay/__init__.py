# SPDX-License-Identifier: GPL-3.0-or-later
"""Drawing over the viewport: put up when the add-on is switched on, taken down with it."""

from .drawing import register, unregister

__all__ = ["register", "unregister"]
