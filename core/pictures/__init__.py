# SPDX-License-Identifier: GPL-3.0-or-later
"""Sets of product pictures: which shots, of what, from where, and what is told about each."""
