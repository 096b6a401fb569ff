"""The window's words in other languages: complete, true to the English, and as last compiled."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir, extract_from_file
from babel.messages.mofile import read_mo
from babel.messages.pofile import read_po

from estimator.desktop import language
from estimator.desktop.key_names import key_names

ROOT = Path(__file__).resolve().parents[2]
WORDS = ROOT / "resources" / "translations"
LANGUAGES = ("de", "fr")
ROOMS = ("desktop", "domain", "intake", "services")
KEYWORDS = {"_": None, "ngettext": (1, 2), "worded": None, "worded_count": (1, 2)}
SPOKEN = ("_", "ngettext")  # in the language of the moment
MEND = "Run sh packaging/words.sh, translate what is empty in the .po files, and run it again."

Text = str | tuple[str, ...]


def po_file(name: str) -> Path:
    return WORDS / name / "LC_MESSAGES" / "shimwright.po"


def catalogue_of(path: Path, name: str | None = None) -> Catalog:
    with path.open("rb") as file:
        return read_po(file, locale=name)


def texts(catalogue: Catalog) -> set[Text]:
    return {key(message) for message in catalogue if message.id}


def key(message: Message) -> Text:
    return message.id if isinstance(message.id, str) else tuple(message.id)


def forms(text: Text) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text)


def placeholders(text: str) -> list[str]:
    return sorted(re.findall(r"\{[^}]*\}", text))


def sources() -> Iterator[Path]:
    yield ROOT / "estimator" / "app.py"
    for room in ROOMS:
        yield from sorted((ROOT / "estimator" / room).rglob("*.py"))


def extracted() -> set[Text]:
    """What the program says now."""
    found = [
        *(
            one
            for room in ROOMS
            for one in extract_from_dir(ROOT / "estimator" / room, keywords=KEYWORDS)
        ),
        *((str(ROOT), *one) for one in extract_from_file(
            "python", ROOT / "estimator" / "app.py", keywords=KEYWORDS
        )),
    ]  # fmt: skip
    return {one[2] if isinstance(one[2], str) else tuple(one[2]) for one in found}


def test_no_text_hides_inside_a_formatted_one() -> None:
    """Texts are not gathered out of f-strings: they would stay English in every language."""
    hidden = [
        f"{path.name}:{node.lineno}"
        for path in sources()
        for outer in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(outer, ast.JoinedStr)
        for node in ast.walk(outer)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in KEYWORDS
    ]
    assert not hidden, "Take them out of the f-string."


def test_template_holds_what_the_program_says() -> None:
    kept, said = texts(catalogue_of(WORDS / "shimwright.pot")), extracted()
    assert len(said) > 500
    assert not said - kept, f"New texts: {sorted(map(str, said - kept))}. {MEND}"
    assert not kept - said, f"Texts of the past: {sorted(map(str, kept - said))}. {MEND}"


def test_every_text_can_be_extracted() -> None:
    """Only words written out where they are spoken reach the catalogues."""
    unread = []
    for path in sources():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
                continue
            count = {"_": 1, "worded": 1, "ngettext": 2, "worded_count": 2}.get(node.func.id, 0)
            for word in node.args[:count]:
                if not (isinstance(word, ast.Constant) and isinstance(word.value, str)):
                    unread.append(f"{path.name}:{node.lineno} {ast.unparse(node)}")
    assert not unread, "Write the text itself, no variable."


def test_no_text_is_spoken_before_the_language_is_chosen() -> None:
    """A constant of a module would be read once, in English, whatever the user's language."""
    early = []

    def look(node: ast.AST, path: Path) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if (
                isinstance(child, ast.Call)
                and isinstance(child.func, ast.Name)
                and child.func.id in SPOKEN
            ):
                early.append(f"{path.name}:{child.lineno} {ast.unparse(child)}")
            look(child, path)

    for path in sources():
        look(ast.parse(path.read_text(encoding="utf-8")), path)
    assert not early


@pytest.mark.parametrize("name", LANGUAGES)
def test_every_text_is_translated(name: str) -> None:
    template, made = catalogue_of(WORDS / "shimwright.pot"), catalogue_of(po_file(name), name)
    assert texts(made) == texts(template), MEND
    empty = [str(one.id) for one in made if one.id and not all(forms(one.string or ""))]
    assert not empty, f"Not in {name} yet: {empty}. {MEND}"
    assert not [str(one.id) for one in made if one.id and one.fuzzy], "Look at the guesses."
    assert not made.obsolete


@pytest.mark.parametrize("name", LANGUAGES)
def test_placeholders_are_kept_in_every_form(name: str) -> None:
    made = catalogue_of(po_file(name), name)
    wrong = []
    for message in made:
        said = forms(key(message)) if message.id else ()
        own = forms(message.string or "") if message.id else ()
        if said and (len(own) != (1 if len(said) == 1 else made.num_plurals)):
            wrong.append(f"{said}: {len(own)} forms")
        for number, one in enumerate(own):
            if placeholders(one) != placeholders(said[min(number, len(said) - 1)]):
                wrong.append(f"{said[0]}: {one}")
    assert not wrong


@pytest.mark.parametrize("name", LANGUAGES)
def test_begins_and_ends_as_the_english_does(name: str) -> None:
    """Line breaks and the spaces that set a text apart are part of its layout."""
    made = catalogue_of(po_file(name), name)
    assert not [
        (said, own)
        for message in made
        if message.id
        for said, own in zip(forms(key(message)), forms(message.string), strict=False)
        if said.count("\n") != own.count("\n")
        or own != own.strip()
        or (" " in said and said[-1] in ".?" and own[-1] not in ".?")
    ]


def test_french_signs_stand_off_by_a_space_that_does_not_break() -> None:
    made = catalogue_of(po_file("fr"), "fr")
    # What stands in braces is read by the program: a number stands for it here.
    own = [
        re.sub(r"\{[^}]*\}", "0", one)
        for message in made
        if message.id
        for one in forms(message.string)
    ]
    assert not [one for one in own if re.search(r"[^\u00a0]»|«[^\u00a0]|[^\u00a0][;?!]", one)]
    assert not [one for one in own if re.search(r"[^\u00a0]:(\s|$)|\d %", one)]


@pytest.mark.parametrize("name", LANGUAGES)
def test_program_reads_what_was_translated(name: str) -> None:
    made = catalogue_of(po_file(name), name)
    with po_file(name).with_suffix(".mo").open("rb") as file:
        compiled = read_mo(file)
    words = {key(one): forms(one.string) for one in compiled if one.id}
    assert words == {key(one): forms(one.string) for one in made if one.id}, MEND
    assert compiled.plural_expr == made.plural_expr


@pytest.mark.parametrize(
    ("name", "area", "one", "none"),
    [
        ("de_DE", "Umfang", "1 Woche", "0 Wochen"),
        ("fr_FR", "Étendue", "1 semaine", "0 semaine"),
        ("en_GB", "Scope", "1 week", "0 weeks"),
    ],
)
def test_window_speaks_the_language_chosen(name: str, area: str, one: str, none: str) -> None:
    try:
        language.use(name)
        assert language._("Scope") == area
        assert language.ngettext("{n} week", "{n} weeks", 1).format(n=1) == one
        assert language.ngettext("{n} week", "{n} weeks", 0).format(n=0) == none
    finally:
        language.use("en")


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("de", "Strg+Entf, Umschalt+F9, Alt+1 … 5"),
        ("fr", "Ctrl+Suppr, Maj+F9, Alt+1 … 5"),
        ("en", "Ctrl+Del, Shift+F9, Alt+1 … 5"),
    ],
)
def test_keys_bear_the_names_written_on_them(name: str, keys: str) -> None:
    try:
        language.use(name)
        assert key_names("Ctrl+Del, Shift+F9, Alt+1 … 5") == keys
    finally:
        language.use("en")


def test_languages_offered_are_those_there_are_words_in() -> None:
    assert language.languages() == ("en", *LANGUAGES)
