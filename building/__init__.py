# SPDX-License-Identifier: GPL-3.0-or-later
"""What build.py works with; standard library only."""
