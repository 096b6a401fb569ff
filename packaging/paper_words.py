"""Gathers what documents print into `paper.pot`, and makes what the program reads from each
translation: labels, and texts of the domain that stand in print. `words.sh` calls it.

    python packaging/paper_words.py            all languages there are
    python packaging/paper_words.py es         and Spanish, begun with nothing translated

A text that was reworded is translated anew: a guess from one like it is easily overlooked.
"""

from __future__ import annotations

import ast
import importlib
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from estimator.documents.grammar.counted import Counted  # noqa: E402
from estimator.documents.grammar.spoken import APART, DOMAIN  # noqa: E402
from estimator.domain.fixed_words import fixed  # noqa: E402

DATED = datetime(2026, 1, 1, tzinfo=UTC)  # the file changes only where a text does
WORDS = ROOT / "resources" / "translations"
PRINTED = (  # their texts are printed
    "scope.py",
    "disposition.py",
    "exposure/exposed_parts.py",
    "rebuild_or_new/starting.py",
)
FIXED = ("rebuild", "service")  # fixed words that are put into them
UNTRANSLATED = ("PROGRAM", "UNCONFIRMED_MARK")

Message = tuple[str | tuple[str, str], str | None]  # text, or its forms; and context


def label_messages() -> Iterator[Message]:
    """Every text of every label module, `*_texts.py` in the rooms of documents."""
    for path in sorted((ROOT / "estimator" / "documents").rglob("*_texts.py")):
        name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        module = importlib.import_module(name)
        for label, value in vars(module).items():
            if label.isupper() and label not in UNTRANSLATED:
                yield from _texts(value, label if label in APART else None)


def _texts(value: Any, context: str | None) -> Iterator[Message]:
    if isinstance(value, Counted):
        yield (value.one, value.many), None
    elif isinstance(value, str):
        if any(one.isalpha() for one in value):
            yield value, context
    elif isinstance(value, dict):
        for one in value.values():
            yield from _texts(one, context)
    elif isinstance(value, tuple):
        for one in value:
            yield from _texts(one, context)


def domain_messages() -> Iterator[Message]:
    """Patterns of `worded` and `worded_count` where the texts of the domain are printed."""
    for name in PRINTED:
        tree = ast.parse((ROOT / "estimator" / "domain" / name).read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            wanted = {"worded": 1, "worded_count": 2}.get(node.func.id, 0)
            texts = [one.value for one in node.args[:wanted] if isinstance(one, ast.Constant)]
            if wanted and len(texts) == wanted:
                yield (texts[0] if wanted == 1 else (texts[0], texts[1])), None


def fixed_messages() -> Iterator[Message]:
    """Words the trade has fixed, as far as they stand in what is printed."""
    for word in FIXED:
        yield str(fixed(word)), None


def gathered() -> Catalog:
    """All messages, in the order of their texts."""
    catalogue = Catalog(charset="utf-8", fuzzy=False)
    for text, context in (*label_messages(), *domain_messages(), *fixed_messages()):
        if context is not None or text not in catalogue:
            catalogue.add(text, context=context)
    return catalogue


def bring_up(language: str, template: Catalog) -> None:
    """Write a language's `paper.po` with what there is to translate now, and its `paper.mo`."""
    folder = WORDS / language / "LC_MESSAGES"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{DOMAIN}.po"
    known = Catalog(locale=language)
    if path.exists():
        with path.open("rb") as file:
            known = read_po(file, locale=language)
    known.update(template, no_fuzzy_matching=True)
    known.obsolete.clear()
    known.project, known.version, known.msgid_bugs_address = "Shimwright", "1", ""
    known.last_translator = known.language_team = ""
    known.header_comment = f"# What documents print, {language}."
    known.fuzzy = False
    known.creation_date = known.revision_date = DATED
    with path.open("wb") as file:
        write_po(file, known, width=100, sort_output=True, no_location=True, ignore_obsolete=True)
    with path.with_suffix(".mo").open("wb") as file:
        write_mo(file, known)


def main(languages: list[str]) -> None:
    """Bring up the template, every language there is, and those named."""
    template = gathered()
    with (WORDS / f"{DOMAIN}.pot").open("wb") as file:
        write_po(file, template, width=100, sort_output=True, no_location=True, omit_header=True)
    there = {path.parent.parent.name for path in WORDS.glob(f"*/LC_MESSAGES/{DOMAIN}.po")}
    for language in sorted(there | set(languages)):
        bring_up(language, template)


if __name__ == "__main__":
    main(sys.argv[1:])
