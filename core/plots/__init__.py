# SPDX-License-Identifier: GPL-3.0-or-later
"""Plots and drawn wraps for the report, by matplotlib, which is loaded when a plot is made."""
