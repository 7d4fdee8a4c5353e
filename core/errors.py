# SPDX-License-Identifier: GPL-3.0-or-later
"""The errors that Napfold raises on purpose.

NapfoldError
├── InputError    a value that a person wrote cannot be used
├── FileError     a file cannot be read or written
└── SolverError   a computation could not be finished
"""

__all__ = ["FileError", "InputError", "NapfoldError", "SolverError"]


class NapfoldError(Exception):
    """Base of every error that Napfold raises on purpose; its text is for the user."""


class InputError(NapfoldError, ValueError):
    """A value that cannot be used, told in one sentence.

    Parameters
    ----------
    key
        The thing in the words of the job file, for example ``cut.sleeve_drop``.
    value
        The value as the user wrote it, or as the user would write it.
    allowed
        The allowed range or the allowed words.
    remedy
        What to do, as a clause without a final period.
    """

    def __init__(self, key: str, value: object, allowed: str, remedy: str) -> None:
        super().__init__(f"{key} is {value}; allowed: {allowed}. {remedy[:1].upper()}{remedy[1:]}.")
        self.key = key
        self.value = value
        self.allowed = allowed
        self.remedy = remedy


class FileError(NapfoldError, OSError):
    """A file that cannot be read or written; the text names the file and the reason."""


class SolverError(NapfoldError, RuntimeError):
    """A computation that could not be finished; the text names the step and what to change."""
