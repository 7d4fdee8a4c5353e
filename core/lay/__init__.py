# SPDX-License-Identifier: GPL-3.0-or-later
"""The lay: what is cut, placed on the bought cloth; how much to buy, what is left over."""

from .bolt import Bolt, Lay, Layer, Order, Placed
from .choice import MOST_REPEAT_M, Extra, Kind, LayChoice, Nap
from .grid import Grid
from .laying import lay_orders, usable_width_m, widest_cut_m
from .offcuts import Corner, Offcut
from .pieces import sized

__all__ = [
    "MOST_REPEAT_M",
    "Bolt",
    "Corner",
    "Extra",
    "Grid",
    "Kind",
    "Lay",
    "LayChoice",
    "Layer",
    "Nap",
    "Offcut",
    "Order",
    "Placed",
    "lay_orders",
    "sized",
    "usable_width_m",
    "widest_cut_m",
]
