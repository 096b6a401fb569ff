"""What every section of the page writes with: the quote as print has it, and its markup."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from estimator.documents.files.html_parts import heading, paragraph
from estimator.documents.files.html_text import Writer
from estimator.documents.quote.sheet import Sheet


@dataclass(frozen=True)
class PageSheet(Sheet):
    """A quote on its way to a web page. Its flowables are of no use here; its texts are."""

    writer: Writer

    def html(self, text: str) -> str:
        """Text of the print as markup."""
        return self.writer.text(text)

    def all(self, texts: Iterable[str]) -> list[str]:
        """Texts as markup, one by one."""
        return [self.html(one) for one in texts]

    def said(self, text: str, look: str = "") -> str:
        """A paragraph of text; nothing for none."""
        return paragraph(self.html(text), look)

    def head(self, text: str, key: str, level: int = 2) -> str:
        """A heading that the contents and references lead to."""
        return heading(level, self.html(text), key)
