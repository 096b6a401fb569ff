"""English of the labels on the page that lays a rebuild beside a new machine."""

from __future__ import annotations

TITLE = "Rebuild or buy new: your {machine}"
REFERENCE = "Rebuild or new \u00b7 {title} \u00b7 {day}"
MACHINE_LINE = "{mass} t class, serial {serial}, {hours} hours, inspected on {day}"
FOR, QUOTE, DATED = "For", "Quote", "Dated"

REBUILD_LESS = (
    "At these figures an hour\u2019s work costs {rebuilt} from the rebuilt machine and {new} "
    "from a new one. The rebuild costs less per hour as long as it stays under {turns}."
)
NEW_LESS = (
    "At these figures an hour\u2019s work costs less from a new machine: {new} against {rebuilt} "
    "from the rebuilt one. The rebuild would cost less per hour only under {turns}."
)
NEW_ALWAYS = (
    "At these figures an hour\u2019s work costs less from a new machine: {new} against {rebuilt} "
    "from the rebuilt one. No price of the rebuild would change that."
)
SAME = (
    "At these figures an hour\u2019s work costs the same either way, {rebuilt}. The rebuild costs "
    "less per hour as long as it stays under {turns}."
)
HOLDS_SPENT = "Our whole price, {price} with the contingency spent, is under that."
HOLDS_WITHIN = "Ours is under that while no more than {room} of the contingency of {held} is drawn."
HOLDS_NOT = "Ours is above that even with no contingency drawn, at {price}."
HOLDS_PRICE, HOLDS_NOT_PRICE = (
    "Our price, {price}, is under that.", "Our price, {price}, is above that.",
)  # fmt: skip
MEET = "The ranges below meet: figures inside them can turn the answer."
APART = "The ranges below do not meet."
YEAR_AGREES = "By the year, with interest, the answer is the same."
YEAR_DIFFERS = (
    "By the year, with interest, the answer is the other: {rebuilt} rebuilt, {new} new. The lives "
    "differ, so weigh both."
)
ABOVE_USUAL = (
    "The rebuild takes {share} of the price of a new machine. Usual is {low} to {high}; above "
    "that, look hard at buying new."
)

RATIO = "Price of the rebuild, as a share of a new machine"
RATIO_WORDS = "{share} of {price}"
RATIO_USUAL = "usual {low} to {high}"
FIRM, PROVISIONAL, CONTINGENCY = "firm", "provisional", "contingency"

SIDE_BY_SIDE = "Side by side"
REBUILD, NEW = "Rebuild", "New machine"
PRICE, MAY_COME = "Price before tax", "May come to: low, likely, high"
FOR_OLD = "Paid for your machine as it stands"
READY = "Ready after the order"
WITHOUT, WAITING = "Without a machine, likely", "Cost of that time"
GAINED, WORTH = "Work gained", "Worth at the end, likely"
FUEL, UPKEEP = "Fuel per hour", "Upkeep per hour"
PER_HOUR, PER_YEAR, MONTHLY = (
    "Cost per hour, likely",
    "Cost a year, with interest",
    "Monthly payment",
)
SPAN = "{low} \u2013 {likely} \u2013 {high}"
WEEKS, WEEKS_SPAN = "{weeks} weeks", "{weeks} weeks ({low} \u2013 {high})"
LIFE = "{hours} h, {years} years"
SOONER = "The rebuild is ready {weeks} weeks before a new machine is likely to come."
LATER = "A new machine is likely to come {weeks} weeks before the rebuild is ready."
SAVES_WAITING = "Its time without a machine costs {amount} less."
ADDS_WAITING = "Its time without a machine costs {amount} more."
STANDS = "Your machine is taken to stand from the order on."
WORKS_ON = (
    "Your machine is taken to work on until it comes in, or until a new one is there; finding it "
    "fit for that is yours."
)
PAYBACK = (
    "A new machine saves fuel: what it costs more to buy is paid after {hours} h, {years} years, "
    "without interest."
)
PAYBACK_BEYOND = (
    "A new machine saves fuel, but what it costs more to buy would only be paid after {hours} h, "
    "{years} years, beyond its {life} h."
)
PAYBACK_AT_ONCE = "A new machine saves fuel and costs no more to buy."

CHART, CHART_UNIT = "Cost per hour", "{currency} per hour: low, likely, high"
CHART_WORDS = "Low: contingency unspent, ready early, good resale. High: the reverse."
CHART_WORDS_FIXED = "Low: ready early, good resale. High: the reverse."
MOVES = "What moves it most"
MOVES_WORDS = (
    "How far the difference per hour moves from one end of a figure to the other; one given "
    "without a range is moved by {share} either way."
)
MOVES_TURNS = "* turns the answer at one end."

CARBON = "Carbon, for two figures alone"
KEPT = (
    "Parts used again: {kilograms} kg \u00d7 {factor} kg {gas}/kg = {result} kg {gas} of making "
    "them anew"
)
BURNT_MORE = (
    "Fuel: {litres} L more than new over {hours} h \u00d7 {factor} kg {gas}/L = {result} "
    "kg {gas} more"
)
BURNT_LESS = (
    "Fuel: {litres} L less than new over {hours} h \u00d7 {factor} kg {gas}/L = {result} "
    "kg {gas} less"
)
FACTOR_OF = "{covers}; {gwp}{source}, edition {edition}"
GWP_OF = "warming potentials {gwp}; "
NO_GWP = "no warming potentials needed; "
CARBON_METHOD = (
    "Method: mass or litres times a published factor. This is no account of a whole machine."
)

RESTS = "What it rests on, and whose figure it is"
INPUT_LINE, INPUT_FROM = "{title}: {value}", "{origin}, {source}"
ORIGINS = {
    "starting value": "starting value", "own": "our own figure", "typed": "our figure",
    "supplier": "supplier\u2019s figure", "customer": "your figure", "job": "this quote",
}  # fmt: skip
OF_DAY = "{source}, {day}"
LEFT_OUT = "Not given, so left out on both sides: {names}."
FUEL_LEFT, UPKEEP_LEFT, WAITING_LEFT, TRADE_LEFT = (
    "fuel", "upkeep", "time without a machine", "what your machine fetches as it stands",
)  # fmt: skip
BEFORE_TAX = "All sums before tax. Provisional work at its likely value."
A_YEAR, HOURS, MONTHS, KILOGRAMS, LITRES, WEEKS_OF = (
    "{value} a year", "{value} h", "{value} months", "{value} kg", "{value} L/h",
    "{value} weeks",
)  # fmt: skip
A_LITRE, AN_HOUR = "{value}/L", "{value}/h"
NOT_ADVICE = "This page compares; it does not advise."
