"""Rows and their ids."""


def known(row_id: int | None) -> int:
    """The id of a row that has been stored; raises ValueError for one that has not."""
    if row_id is None:
        raise ValueError("the row has not been stored yet")
    return row_id
