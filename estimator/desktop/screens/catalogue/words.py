"""Names of the catalogue's tables, columns and origins in the trade's words."""

from __future__ import annotations

from estimator.desktop.language import _
from estimator.domain.catalogue.changes import CLAUSES, NAMES
from estimator.domain.catalogue.edition import (
    ADJUSTED,
    EDITED,
    FOLDER,
    IMPORTED,
    PRICE_LIST,
    SCALED,
    TAKEN_BACK,
)
from estimator.services.show_catalogue import ADDED, CHANGED, TAKEN_OUT


def table_title(table: str) -> str:
    """What a table is called."""
    if table.startswith(CLAUSES):
        return _("Clauses: {language}").format(language=table.removeprefix(CLAUSES))
    if table.startswith(NAMES):
        return _("Names: {language}").format(language=table.removeprefix(NAMES))
    return _tables().get(table, table)


def _tables() -> dict[str, str]:
    return {
        "classes": _("Machine classes"), "class_masses": _("Masses for lifting"),
        "groups": _("Component groups"), "circuits": _("Fluid circuits"),
        "components": _("Components"), "scaling": _("Scaling by size"),
        "trades": _("Trades and rates"), "crews": _("Crews"),
        "difficulty": _("Difficulty"), "suppliers": _("Suppliers"),
        "markups": _("Markups"), "levies": _("Levies"), "tax": _("Tax"),
        "cautions": _("Cautions"), "activities": _("Programme steps"),
        "closures": _("Days closed"), "warranty": _("Warranty"),
        "operations": _("Operations"), "parts": _("Parts groups"), "outwork": _("Outwork"),
        "wear": _("Chances of wear"), "remedies": _("Ways of putting right"),
        "found_work": _("Work found"), "tests": _("Tests and looks"),
        "measures": _("Measures"), "loadings": _("Loadings"), "own_cases": _("Own cases"),
        "settings": _("Workshop figures"),
    }  # fmt: skip


def column_title(name: str) -> str:
    """What a column is called; its own name where it has no other."""
    return {**_columns_of_rows(), **_columns_of_work()}.get(name, name.replace("_", " "))


def _columns_of_rows() -> dict[str, str]:
    return {
        "id": _("Code"), "name": _("Name"), "origin": _("Origin"), "source": _("Source"),
        "needs": _("Traits a class must have"), "family": _("Family"), "type": _("Type"),
        "traits": _("Traits"), "mass_from_kg": _("Mass from, kg"), "mass_to_kg": _("Mass to, kg"),
        "operating_mass_kg": _("Operating mass, kg"), "net_power_kw": _("Net power, kW"),
        "new_price_low": _("New machine, low"), "new_price_likely": _("New machine, likely"),
        "new_price_high": _("New machine, high"), "currency": _("Currency"),
        "price_date": _("Day of the price"), "new_lead_weeks": _("New machine, weeks"),
        "full_band_low": _("Full rebuild, share of new, low"),
        "full_band_high": _("Full rebuild, share of new, high"),
        "driveline_band_low": _("Driveline, share of new, low"),
        "driveline_band_high": _("Driveline, share of new, high"),
        "class_id": _("Machine class"), "piece": _("Piece"), "mass_kg": _("Mass, kg"),
        "summary": _("In one line"), "group": _("Component group"), "circuit": _("Fluid circuit"),
        "driver": _("Size by"), "exponent": _("Exponent"), "step": _("Rounded to"),
        "wage_per_hour": _("Wage an hour"), "paid_hours": _("Paid hours a year"),
        "on_cost": _("On-cost, share"), "sold_hours": _("Sold hours a year"),
        "overhead_per_hour": _("Overhead a sold hour"), "margin": _("Margin, share"),
        "rate_step": _("Rate is rounded to"), "people": _("People"), "factor": _("Factor"),
        "when": _("When"), "supplies": _("Supplies"), "kind": _("Kind"), "freight": _("Carriage"),
        "share": _("Share"), "basis": _("Taken on"), "part": _("Part"), "rate": _("Rate"),
        "cap": _("Not above"), "code": _("EN 16931 code"), "rate_percent": _("Rate, %"),
        "exemption": _("Why no tax"), "hazard": _("Hazard"), "caution": _("Caution"),
        "defers_to": _("Comes after"), "bay": _("Bay"), "after": _("After"), "teams": _("Teams"),
        "date": _("Day"), "why": _("Why"), "months": _("Months"), "note": _("Limits"),
        "section": _("Place in the document"), "order": _("Place in the section"),
        "rows": _("Rows that must be in the scope"), "text": _("Text"),
        "confirmed_by": _("Translation confirmed by"), "table": _("Table"),
        "field": _("Column"), "english": _("English"), "value": _("Figure"),
    }  # fmt: skip


def _columns_of_work() -> dict[str, str]:
    return {
        "component": _("Component"), "at_class": _("Values stand for class"),
        "scaling": _("Scaling"), "follows": _("Follows parts"), "ways": _("Ways"),
        "levels": _("Levels"), "activity": _("Step"), "hand_reason": _("By hand, when"),
        "range_reason": _("Why it may move"), "called_by": _("Called by"), "trade": _("Trade"),
        "hours": _("Hours"), "hours_low": _("Hours, low"), "hours_high": _("Hours, high"),
        "hours_per": _("Hours are for each"), "crew": _("Crew"), "difficulty": _("Difficulty"),
        "includes": _("Includes"), "cautions": _("Cautions"), "quantity": _("Quantity"),
        "quantity_low": _("Quantity, low"), "quantity_high": _("Quantity, high"),
        "unit": _("Unit"), "unit_cost": _("Cost of one"), "supplier": _("Supplier"),
        "lead_weeks": _("Lead time, weeks"), "exchange_charge": _("Exchange charge"),
        "markup": _("Markup"), "needed_at": _("Needed at"), "vendor": _("Vendor"),
        "cost_each": _("Cost of one"), "turn_round_days": _("Working days away"),
        "away": _("Outwork step"), "certificate": _("Certificate"), "shape": _("Weibull shape"),
        "scale_hours": _("Weibull scale, h"), "starting_chance": _("Starting chance"),
        "at_hours": _("At hours"), "pool": _("Pool"), "rests_on": _("Rests on"),
        "way": _("Way"), "usual": _("Usual way"), "low": _("Low"), "likely": _("Likely"),
        "high": _("High"), "added_days": _("Working days added"),
        "workshop_share": _("Workshop's share"), "per": _("Counted by"), "count": _("Count"),
        "overdispersion": _("Overdispersion"), "parts_cost": _("Parts cost"),
        "on": _("Speaks of"), "target": _("Parts or circuit"), "sensitivity": _("Sensitivity"),
        "specificity": _("Specificity"), "cost": _("Cost"), "days": _("Days"),
        "alarm": _("Alarm"), "metals": _("Metals"), "cleanliness": _("Cleanliness"),
        "cleanliness_over": _("Codes over"), "test": _("Test"), "sign_of": _("Sign of"),
        "new": _("New"), "rebuild_limit": _("Rebuild limit"), "service_limit": _("Service limit"),
        "gauge_error": _("Gauge error"), "band_low": _("Band, low"), "band_high": _("Band, high"),
        "life": _("Loading on life"), "machine_class": _("Machine"), "duty": _("Duty"),
        "worn": _("Worn"),
    }  # fmt: skip


def origin_words(origin: str) -> str:
    """Where a value comes from."""
    return {"own": _("own"), "supplier": _("supplier"),
            "starting value": _("starting value")}.get(origin, origin)  # fmt: skip


def state_words(state: str) -> str:
    """What is being done to a row."""
    return {CHANGED: _("changed"), ADDED: _("added"), TAKEN_OUT: _("taken out")}.get(state, "")


def kind_words(kind: str) -> str:
    """How an edition came about."""
    return {
        FOLDER: _("as supplied"), EDITED: _("edited"), IMPORTED: _("from files"),
        ADJUSTED: _("made our own"), SCALED: _("new class"), PRICE_LIST: _("price list"),
        TAKEN_BACK: _("taken back"), "": _("being typed"),
    }.get(kind, kind)  # fmt: skip


def guide() -> tuple[tuple[str, str], ...]:
    """How a workshop makes starting values its own: (heading, text) in the order to do them."""
    return (
        (_("How a workshop makes these values its own"),
         _("Every price, hour and chance that is marked as a starting value was invented, so that "
           "there is something to begin with. None of it is anybody's experience. Each way below "
           "leaves an edition behind: who, when, why, and every value before and after.")),
        (_("1. Trades and rates first"),
         _("Open Trades and rates. Wages, paid and sold hours and overhead come from your own "
           "books. Nothing moves a price as much.")),
        (_("2. Adopt what is right"),
         _("Filter rows, look at them, and choose Make our own, Adopt. The values stay, the mark "
           "goes, and the source says who stood for them.")),
        (_("3. Adjust by a factor"),
         _("Where your fitters always need a tenth longer, filter those operations and multiply "
           "their hours by 1.1. The source keeps the factor and the value before.")),
        (_("4. Import"),
         _("Write the catalogue to files, change them in a spreadsheet, take them in again. Every "
           "fault is named by file, row and column, and nothing is kept before you have seen "
           "what changes. A supplier's price list has its own page.")),
        (_("5. Learn"),
         _("Chances of wear need no typing: record teardowns and close accounts, and each "
           "part's own cases take over from its starting value.")),
        (_("What was issued stays"),
         _("An issued quote keeps the edition it was priced with, whatever is changed later. "
           "Drafts are priced with the newest; look at the effect on open quotes before you "
           "keep an edition.")),
    )  # fmt: skip
