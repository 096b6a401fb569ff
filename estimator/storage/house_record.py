"""Reading and keeping the house style: each change is a new version, drawings are kept once."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.house_style import Drawing, HouseStyle, Signature, style_data
from estimator.storage.database import RecordDamaged
from estimator.storage.house_tables import HouseDrawingRow, HouseStyleRow

STYLES: Any = HouseStyleRow.__table__
DRAWINGS: Any = HouseDrawingRow.__table__


@dataclass(frozen=True, slots=True)
class KeptStyle:
    """A version of the house style as it is kept; version 0 is the plain one, kept nowhere."""

    version: int
    style: HouseStyle
    who: str
    at: datetime.datetime | None


def newest_style(session: Session) -> KeptStyle:
    """The style in force. Raises RecordDamaged."""
    row = session.connection().execute(
        sa.select(STYLES).order_by(STYLES.c.version.desc()).limit(1)
    ).first()  # fmt: skip
    if row is None:
        return KeptStyle(0, HouseStyle(), "", None)
    return KeptStyle(row.version, _style(session, row.body), row.who, row.at)


def style_named(session: Session, name: str) -> HouseStyle | None:
    """The style of that SHA-256, whenever it was in force; None where there never was one."""
    body = session.connection().execute(
        sa.select(STYLES.c.body).where(STYLES.c.style == name).limit(1)
    ).scalar()  # fmt: skip
    return None if body is None else _style(session, body)


def keep_style(
    session: Session, style: HouseStyle, version: int, who: str, at: datetime.datetime
) -> None:
    """Keep a style as the next version, with drawings that are not kept yet."""
    drawings = [one.picture for one in style.signatures]
    drawings += [style.logo] if style.logo is not None else []
    run = session.connection().execute
    for one in {drawing.sha256: drawing for drawing in drawings}.values():
        if run(sa.select(DRAWINGS.c.kind).where(DRAWINGS.c.sha256 == one.sha256)).first() is None:
            run(DRAWINGS.insert().values(
                sha256=one.sha256, kind=one.kind, width=one.width, height=one.height, data=one.data
            ))  # fmt: skip
    body = json.dumps(style_data(style), ensure_ascii=False, sort_keys=True)
    run(STYLES.insert().values(version=version, style=style.id, at=at, who=who, body=body))


def _style(session: Session, body: str) -> HouseStyle:
    try:
        kept = json.loads(body)
        logo = kept.pop("logo")
        signatures = tuple(
            Signature(one["name"], one["capacity"], _drawing(session, one["picture"]))
            for one in kept.pop("signatures")
        )
        for name in ("registration", "footer"):
            kept[name] = tuple(kept[name])
        return HouseStyle(
            logo=_drawing(session, logo) if logo else None, signatures=signatures, **kept
        )
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise RecordDamaged("the house style cannot be read") from error


def _drawing(session: Session, sha256: str) -> Drawing:
    row = session.connection().execute(
        sa.select(DRAWINGS).where(DRAWINGS.c.sha256 == sha256)
    ).first()  # fmt: skip
    found = None if row is None else Drawing(row.kind, row.data, row.width, row.height)
    if found is None or found.sha256 != sha256:
        raise RecordDamaged("a drawing of the house style is gone, or was changed")
    return found
