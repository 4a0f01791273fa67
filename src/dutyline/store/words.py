"""What a database says of itself, in a piece of a sentence."""

from __future__ import annotations

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from dutyline.core.errors import legible


def reason(error: SQLAlchemyError) -> str:
    """Why a database did not do what it was asked: its first line, without query and values."""
    origin = error.orig if isinstance(error, DBAPIError) else None
    said = str(origin if origin is not None else error).strip().splitlines()
    return legible(said[0]).rstrip(".") if said else type(error).__name__
