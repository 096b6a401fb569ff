"""Which column holds what, told from the words of its head in five languages."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace

from estimator.domain.money import MINOR_DIGITS
from estimator.domain.price_list import mapping as m
from estimator.domain.price_list.mapping import ColumnUse, Mapping
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import joined, worded
from estimator.intake.price_list_table import PriceTable, column_letters

LONGEST_HEAD = 60  # characters; more is a sentence
HEADS_WITHIN = 40  # rows in which the head is looked for
# Plain words of the trade, small and without accents, those that say more before those within them.
_WORDS: tuple[tuple[str, str], ...] = (
    (m.PRICE, r"unit price|price (?:per|/) ?\d+|preis (?:pro|je|per|/) ?\d+|prix (?:par|/) ?\d+|"
              r"precio (?:por|/) ?\d+|cena (?:za|/) ?\d+"),
    (m.SUPERSEDED, "superseded by|superseded|replaced by|successor|new part number|ersetzt durch|"
                   "nachfolger|ersatz fur|remplace par|sustituido por|reemplazado por|"
                   "zastapiony przez|nastepca|zamiennik"),
    (m.GROUP, "discount group|discount code|rabattgruppe|rabattkennzeichen|groupe de remise|"
              "code remise|grupo de descuento|grupa rabatowa"),
    (m.DISCOUNT, "discount|rabatt|remise|descuento|rabat"),
    (m.CHARGE, "core charge|core|exchange charge|deposit|altteilwert|altteilpfand|pfand|consigne|"
               "deposito|kaucja"),
    (m.LEAD, "lead time|lead weeks|lead days|delivery time|lieferzeit|delai de livraison|delai|"
             "plazo de entrega|plazo|czas dostawy|termin dostawy"),
    (m.VALID, "valid from|effective from|effective date|price date|gultig ab|preisstand|valable|"
              "valido desde|wazne od|wazny od"),
    (m.CURRENCY, "currency|curr|wahrung|wahr|devise|monnaie|moneda|divisa|waluta"),
    (m.PER, "price unit|pricing unit|price per qty|pack size|pack qty|per|pu|preiseinheit|pe|vpe|"
            "unite de prix|quantite par prix|unidad de precio|cantidad por precio|"
            "jednostka cenowa|cena za ilosc"),
    (m.UNIT, "unit of measure|unit|uom|mengeneinheit|einheit|me|unite|unidad de medida|unidad|"
             "jednostka miary|jednostka|jm"),
    (m.PRICE, "net price|list price|unit price|price|nettopreis|listenpreis|einzelpreis|preis|"
              "prix net|prix unitaire|prix|tarif|precio neto|precio unitario|precio|cena netto|"
              "cena"),
    (m.DESCRIPTION, "description|part name|name|bezeichnung|artikelbezeichnung|"
                    "teilebezeichnung|benennung|beschreibung|designation|"
                    "libelle|descripcion|denominacion|nazwa|opis"),
    (m.NUMBER, "part number|part no|part|item number|item no|article number|article no|article|"
               "order number|order no|stock code|teilenummer|teile nr|artikelnummer|artikel nr|"
               "art nr|bestellnummer|bestell nr|materialnummer|sachnummer|numero de piece|"
               "no de piece|reference|ref|numero de pieza|referencia|codigo|numer czesci|"
               "nr czesci|nr katalogowy|indeks|kod"),
)  # fmt: skip
_LOOKS = tuple((field, re.compile(rf"(?<!\w)(?:{words})(?!\w)")) for field, words in _WORDS)
_TAX = re.compile(
    r"(?<!\w)(?:incl?\w* (?:of )?(?:vat|tax|gst)|(?:vat|tax|gst) incl\w*|gross price|"
    r"inkl\w* (?:mwst|ust)|bruttopreis|brutto|ttc|toutes taxes comprises|iva incl\w*|"
    r"con iva|cena brutto|z vat)(?!\w)"
)
_PER = re.compile(r"(?:\bper|\bpro|\bje|\bpar|\bpor|\bza|/)\s*(\d{1,6})\b")
_DAYS = re.compile(r"(?<!\w)(?:days?|tage?n?|jours?|dias?|dni)(?!\w)")


def plain(text: object) -> str:
    """A head's words, small, without accents and signs."""
    bare = unicodedata.normalize("NFKD", str(text).casefold().replace("\u0142", "l"))
    bare = "".join(sign for sign in bare if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[^\w/%]+", " ", bare.replace("_", " ")).split())


def field_of(head: object) -> str:
    """The field that a head speaks of; "" where it speaks of none."""
    words = plain(head)
    if not words or len(words) > LONGEST_HEAD:
        return ""
    return next((field for field, look in _LOOKS if look.search(words)), "")


def proposed_mapping(table: PriceTable) -> Mapping:
    """A mapping by the words of the heads; what is not told from them is left out."""
    number = _head_row(table)
    heads = table.rows[number - 1] if number else ()
    columns: list[ColumnUse] = []
    for place, head in enumerate(heads):
        field = field_of(head)
        if field and not any(one.field == field for one in columns):
            columns.append(ColumnUse(field, place, str(head).strip()))
    made = Mapping(tuple(columns), table.sheet, number or 1)
    price = plain(made.head_of(m.PRICE))
    if found := _PER.search(price):
        made = replace(made, per=int(found[1]))
    if named := [word.upper() for word in price.split() if word.upper() in MINOR_DIGITS]:
        made = replace(made, currency=named[0])
    if _DAYS.search(plain(made.head_of(m.LEAD))):
        made = replace(made, lead_in=m.DAYS)
    return made


def _head_row(table: PriceTable) -> int:
    """The row, from 1, whose cells speak of most fields, a number among them; 0 for none."""
    best, most = 0, 1
    for number, row in enumerate(table.rows[:HEADS_WITHIN], start=1):
        found = {field_of(cell) for cell in row if isinstance(cell, str)} - {""}
        if len(found) > most and found & {m.NUMBER, m.PRICE}:
            best, most = number, len(found)
    return best


def fitted(mapping: Mapping, table: PriceTable) -> tuple[Mapping, list[Problem]]:
    """A mapping kept from earlier as it fits this table: columns that only moved are found again by
    their heads. Faults name the heads that are there no more."""
    mapping = replace(mapping, sheet=table.sheet)  # sheets are named anew each year
    heads = [plain(cell) for cell in _row(table, mapping.head_row)]
    wanted = [plain(one.head) for one in mapping.columns]
    if not set(wanted) <= set(heads):  # the head may stand in another row this time
        row = next((n for n, cells in enumerate(table.rows[:HEADS_WITHIN], start=1)
                    if set(wanted) <= {plain(cell) for cell in cells}), 0)  # fmt: skip
        if row:
            mapping = replace(mapping, head_row=row)
            heads = [plain(cell) for cell in _row(table, row)]
    lost = [
        one.head
        for one, head in zip(mapping.columns, wanted, strict=True)
        if head not in heads or (heads.count(head) > 1 and not _at(heads, one, head))
    ]
    if lost:
        place = Place(table.file, mapping.head_row)
        said = worded("heads changed: {heads} is not there any more.", heads=joined(lost))
        return mapping, [Problem("heads-changed", place, said, worded("Choose the columns anew."))]
    columns = tuple(one if _at(heads, one, head) else replace(one, column=heads.index(head))
                    for one, head in zip(mapping.columns, wanted, strict=True))  # fmt: skip
    return _with_new_heads(replace(mapping, columns=columns), table)


def with_heads(mapping: Mapping, table: PriceTable) -> Mapping:
    """The mapping with all heads that the table has, to be kept."""
    heads = (" ".join(str(cell).split()) for cell in _row(table, mapping.head_row))
    return replace(mapping, heads=tuple(heads))


def _with_new_heads(mapping: Mapping, table: PriceTable) -> tuple[Mapping, list[Problem]]:
    """Columns that were not there before are read where their heads speak of a field that no other
    holds, and said either way."""
    known = {plain(head) for head in mapping.heads}
    columns, notes = list(mapping.columns), []
    for place, head in enumerate(_row(table, mapping.head_row) if known else ()):
        if not plain(head) or plain(head) in known:
            continue
        field = field_of(head)
        where = Place(table.file, mapping.head_row, column_letters(place))
        if field and not any(one.field == field or one.column == place for one in columns):
            columns.append(ColumnUse(field, place, str(head).strip()))
            said = worded("the column {head} is new; it is read.", head=str(head).strip())
        else:
            said = worded("the column {head} is new; it is not read.", head=str(head).strip())
        notes.append(Problem("new-head", where, said, warning=True))
    return replace(mapping, columns=tuple(columns)), notes


def _row(table: PriceTable, number: int) -> Sequence[object]:
    return table.rows[number - 1] if 0 < number <= len(table.rows) else ()


def _at(heads: Sequence[str], one: ColumnUse, head: str) -> bool:
    return one.column < len(heads) and heads[one.column] == head


def mapping_faults(mapping: Mapping, table: PriceTable) -> list[Problem]:
    """What keeps a table from being read with a mapping."""
    place = Place(table.file, mapping.head_row)
    faults = []
    if mapping.lacking:
        faults.append(Problem("no-columns", place, worded(
            "no column is named as {fields}.", fields=joined(mapping.lacking, " / ")),
            worded("Choose which column holds it.")))  # fmt: skip
    width = len(table.rows[0]) if table.rows else 0
    if any(one.column >= width for one in mapping.columns) or mapping.head_row > len(table.rows):
        faults.append(Problem("heads-changed", place, worded(
            "the table is smaller than the columns that were chosen."),
            worded("Choose the columns anew.")))  # fmt: skip
        return faults
    faults += _tax_faults(mapping, table)
    return faults


def _tax_faults(mapping: Mapping, table: PriceTable) -> list[Problem]:
    column = mapping.column(m.PRICE)
    if mapping.before_tax or column is None:
        return []
    for number in range(1, mapping.head_row + 1):
        cells = _row(table, number)
        for place, cell in enumerate(cells):
            about_it = number < mapping.head_row or place == column
            if about_it and isinstance(cell, str) and _TAX.search(plain(cell)):
                return [Problem("with-tax", Place(table.file, number, column_letters(place)),
                                worded("speaks of prices with tax in them."),
                                worded("Choose a column of prices before tax, or say that these "
                                       "are before tax all the same."))]  # fmt: skip
    return []
