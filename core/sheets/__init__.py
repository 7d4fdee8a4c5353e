# SPDX-License-Identifier: GPL-3.0-or-later
"""What the maker prints: templates, cutting plan, sewing order."""
