"""The blank inspection sheet of a class of machine, before there is a job."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.house_style import PLAIN, HouseStyle
from estimator.domain.language import language_of
from estimator.domain.wording import worded
from estimator.services.errors import NotFound, NotWritten
from estimator.services.house_style import wearing
from estimator.services.open_workshop import open_workshop
from estimator.services.print_quote import known_locale
from estimator.services.work_out import class_catalogue
from estimator.services.write_file import write_whole


def inspection_sheet_bytes(
    catalogue: Catalogue,
    class_id: str,
    day: date,
    locale: str = "en_GB",
    style: HouseStyle = PLAIN,
) -> bytes:
    """The sheet of a class as PDF: the same class, day and style give the same bytes. Raises
    NotFound for a class that the catalogue lacks or a locale whose formats are not known."""
    from estimator.documents.inspection.inspection_sheet import inspection_sheet_pdf
    from estimator.domain.workshop_papers.inspection_sheet import sheet_of_class

    known = known_locale(locale)
    cat = class_catalogue(catalogue, class_id)
    if cat is None:
        raise NotFound(
            worded("The catalogue has no class {class_id!r}.", class_id=class_id),
            worded("Say one of: {known}.", known=", ".join(catalogue.classes)),
        )
    sheet = sheet_of_class(cat, open_workshop().party, day, language_of(known))
    with wearing(style):
        return inspection_sheet_pdf(sheet, known)


def print_inspection_sheet(
    catalogue: Catalogue,
    class_id: str,
    path: Path,
    day: date,
    locale: str = "en_GB",
    *,
    replace: bool = False,
) -> Path:
    """Write the sheet of a class to `path` and return the path: whole or not at all. A file that is
    there is kept unless `replace`. Raises NotFound, NotWritten, Refused."""
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    return write_whole(path, inspection_sheet_bytes(catalogue, class_id, day, locale))
