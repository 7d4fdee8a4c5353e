# SPDX-License-Identifier: GPL-3.0-or-later
"""Progress on a terminal and in a log."""

import io

from napfold.core.progress_lines import ProgressLines


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_is_one_line_a_step_or_one_line_written_over() -> None:
    log, screen = io.StringIO(), Terminal()
    for lines in (ProgressLines(log), ProgressLines(screen)):
        for fraction in (0.0, 0.5, 1.0):
            lines("settling", fraction)
        lines("writing")
        lines.close()
    assert [line[9:] for line in log.getvalue().splitlines()] == [" settling", " writing"]
    assert "\n" not in screen.getvalue()
    assert "settling  50%" in screen.getvalue()
    # the last line is wiped
    assert screen.getvalue().endswith("\r")
    assert screen.getvalue().split("\r")[-2].strip() == ""
