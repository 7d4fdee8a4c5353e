# SPDX-License-Identifier: GPL-3.0-or-later
"""Array types used in signatures; shapes and units stand in the docstrings."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["BoolArray", "FloatArray", "IntArray"]

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]
