# SPDX-License-Identifier: GPL-3.0-or-later
"""The sidebar, in the order of the job."""

from . import sidebar

register = sidebar.register
unregister = sidebar.unregister
