# SPDX-License-Identifier: GPL-3.0-or-later
"""The sidebar's tab, its panels in the order of the job."""

import bpy

from . import numbers, results

__all__ = ["register", "unregister"]

register, unregister = bpy.utils.register_classes_factory((*numbers.CLASSES, *results.CLASSES))
