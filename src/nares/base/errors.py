"""What can go wrong, as one tree.

::

    NaresError                 every error a person is meant to read
    ├── WrongUse               the request itself cannot be                     exit 2
    │   ├── OutOfRange         a number, a time or a region outside its range
    │   └── Unknown            a name nobody has given: dog, step, entry, file
    ├── Unusable               a file or a table that cannot be read or used    exit 3
    │   └── NotEnoughData      too little to say anything honest
    └── Refused                the record will not take this                    exit 4
        └── BrokenChain        the stored entries do not hold together

A message is one or two sentences: what was found, then what to do. Faults in somebody's data that
can be listed are not errors but `nares.base.findings.Finding` values.
"""


class NaresError(Exception):
    """An error a person is meant to read."""

    exit_code = 2


class WrongUse(NaresError):
    """The request itself cannot be."""

    exit_code = 2


class OutOfRange(WrongUse, ValueError):
    """A number, a time or a region lies outside its range."""


class Unknown(WrongUse, LookupError):
    """A name nobody has given."""


class Unusable(NaresError):
    """A file or a table cannot be read or used."""

    exit_code = 3


class NotEnoughData(Unusable):
    """There is too little to say anything honest."""


class Refused(NaresError):
    """The record will not take this."""

    exit_code = 4


class BrokenChain(Refused):
    """The stored entries do not hold together."""
