"""One page that shows a house style: head, foot, colours, signatures, closing terms."""

from __future__ import annotations

from datetime import date
from typing import Any

from estimator.documents.grammar.closing import own_terms, signature_over, signed_as
from estimator.documents.grammar.columns import Rule
from estimator.documents.grammar.dress import worn
from estimator.documents.grammar.page import About, Pages, lay_out
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.spoken import in_language_of_locale, tag
from estimator.documents.internal import style_labels as labels
from estimator.domain.job import Party


@in_language_of_locale
def style_page(workshop: Party, locale: str, day: date) -> bytes:
    """A sample page in the house style that is worn, for `workshop`: the same style gives the same
    bytes."""
    paper = Paper()

    def story(_: Pages) -> list[Any]:
        return [
            *paper.section(labels.TITLE, "sample", name="title"),
            Rule(strong=True),
            *paper.section(labels.HEADING, "heading", before=6),
            paper.text(labels.WORDS),
            *_signed(paper),
            *own_terms(paper),
        ]

    about = About(
        sender=workshop.name,
        reference=labels.REFERENCE,
        foot="   \u00b7   ".join(filter(None, (", ".join(workshop.address), labels.FOOT))),
        title=labels.TITLE,
        subject=labels.TITLE,
        language=tag(),
        day=day,
        locale=locale,
    )
    return lay_out(story, about, Pages({}))


def _signed(paper: Paper) -> list[Any]:
    found: list[Any] = []
    for one in worn().signatures:
        drawn = signature_over(one.name)
        if drawn is not None:
            drawn.spaceBefore = 10
            drawn.hAlign = "LEFT"
            said = labels.SIGNED.format(name=signed_as(one.name))
            found += [drawn, paper.text(said, "note")]
    return found or [paper.text(labels.NO_SIGNATURE, "note", before=8)]
