"""Units as suppliers write them, by plain words of five languages and the codes of UN/ECE
Recommendation 20, in the units of the catalogue."""

from __future__ import annotations

EACH = "each"
_WORDS: dict[str, str] = {
    EACH: "each ea e pc pcs pce piece pieces unit units c62 h87 nmp st stk stck stück stueck stuck "
          "pièce pièces piece pce u un ud uds unidad pza pieza szt sztuka",
    "set": "set sets kit satz sätze jeu jgo juego kpl komplet zestaw",
    "m": "m mtr metre meter mètre metro metr",
    "kg": "kg kgm kilo kilogram kilogramm kilogramme kilogramo",
    "g": "g gr grm gramm gram gramme gramo",
    "L": "l ltr lt litre liter litro litr",
    "mm": "mm mmt",
    "m2": "m2 m² mtk qm",
    "lot": "lot los",
    "h": "h hr hur hour stunde std",
    "pair": "pair pairs pr paar paire par para",
    "roll": "roll rolls rolle rouleau rollo rolka ro",
    "box": "box bx karton carton caja boîte",
    "pack": "pack pk pkg packung paquet paquete paczka opak pack ve",
}  # fmt: skip
_UNITS = {word: unit for unit, words in _WORDS.items() for word in words.split()}


def unit_of(text: str) -> str:
    """The unit that a supplier's word stands for; the word itself, small, where it is not known."""
    word = text.strip().rstrip(".").casefold()
    return _UNITS.get(word, word)


def is_known(text: str) -> bool:
    """Whether a supplier's word for a unit is known."""
    return text.strip().rstrip(".").casefold() in _UNITS
