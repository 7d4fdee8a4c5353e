# SPDX-License-Identifier: GPL-3.0-or-later
"""Napfold's rules: from a maker's job to a settled wrap and its fit, without Blender."""
