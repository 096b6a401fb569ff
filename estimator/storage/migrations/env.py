"""Alembic's entry: runs the steps on the engine it is handed, each in one transaction."""

from __future__ import annotations

from typing import Any, Literal

from alembic import context
from sqlalchemy import text
from sqlalchemy.types import TypeDecorator


def plain_type(kind: str, item: Any, _: Any) -> str | Literal[False]:
    """A step written by the generator names the database's own types, never today's classes."""
    if kind != "type" or not isinstance(item, TypeDecorator):
        return False
    length = getattr(item.impl, "length", None)
    return f"sa.{type(item.impl).__name__}({f'length={length}' if length else ''})"


def not_full_text(name: str | None, kind: str, _: Any) -> bool:
    """SQLite's full-text index and the tables it keeps for itself are no models."""
    return not (kind == "table" and (name or "").startswith("job_search"))


engine = context.config.attributes["engine"]

with engine.connect() as connection:
    sqlite = connection.dialect.name == "sqlite"
    if sqlite:
        # The driver says no BEGIN of its own here; said outright, a failed step undoes its tables.
        connection.execute(text("BEGIN IMMEDIATE"))
    context.configure(
        connection=connection,
        target_metadata=context.config.attributes.get("metadata"),
        render_as_batch=True,
        transactional_ddl=True,
        compare_type=True,
        render_item=plain_type,
        include_name=not_full_text,
    )
    with context.begin_transaction():
        context.run_migrations()
    connection.commit()
