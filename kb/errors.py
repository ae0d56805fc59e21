"""The errors a shop can meet, and nothing else.

    Exception
    ├── ValueError
    │   ├── InputError      what was typed cannot be read or cannot be meant
    │   └── OutOfScope      a sensible value, but the method does not reach it
    ├── LookupError
    │   └── NotTabulated    a published table has no such row
    └── StoreError          the catalogue could not be opened, read or written

Only the command line and the screens catch them, to show them. A failed check
is not an error: it is a value.
"""

from __future__ import annotations


class InputError(ValueError):
    """Something typed that cannot be read, or that nobody can mean.

    Args:
        field: The key or label of the field, as the person typing knows it.
        text: What stood there.
        accepted: What would be accepted instead, one short phrase.
    """

    def __init__(self, field: str, text: object, accepted: str) -> None:
        self.field = field
        self.text = str(text)
        self.accepted = accepted
        message = f"{field}: cannot use “{self.text}”; {accepted}"
        super().__init__(" ".join(message.splitlines()))

    def __reduce__(self) -> tuple[type, tuple[str, str, str]]:
        return type(self), (self.field, self.text, self.accepted)


class OutOfScope(ValueError):
    """A sensible value that the method used here does not reach.

    Args:
        field: What was asked for.
        value: The value asked for.
        reach: The range or set the method covers.
        source: Who says so (book, standard or practice).
    """

    def __init__(self, field: str, value: object, reach: str, source: str) -> None:
        self.field = field
        self.value = value
        self.reach = reach
        self.source = source
        super().__init__(f"{field}: {value} is outside {reach} ({source})")

    def __reduce__(self) -> tuple[type, tuple[str, object, str, str]]:
        return type(self), (self.field, self.value, self.reach, self.source)


class NotTabulated(LookupError):
    """A published table has no row for what was asked.

    Args:
        table: Title of the table.
        row: What was looked for.
        held: What the table does hold, briefly.
    """

    def __init__(self, table: str, row: object, held: str) -> None:
        self.table = table
        self.row = str(row)
        self.held = held
        super().__init__(f"{table} has no row for “{self.row}”; it holds {held}")

    def __reduce__(self) -> tuple[type, tuple[str, str, str]]:
        return type(self), (self.table, self.row, self.held)

    def __str__(self) -> str:  # LookupError would otherwise print like a KeyError
        return str(self.args[0])


class StoreError(Exception):
    """The catalogue could not be opened, read or written; nothing was half-written."""
