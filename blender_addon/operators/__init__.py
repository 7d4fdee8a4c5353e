# SPDX-License-Identifier: GPL-3.0-or-later
"""What the buttons do; each operator is a thin shell round plain functions and classes."""

from . import drape

register = drape.register
unregister = drape.unregister
