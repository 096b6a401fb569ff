"""Every total of the golden quote, to the penny.

Expected file: worked once by hand and by a separate script (computed with Python's decimal
module); the arithmetic by hand of the larger sums stands beside them below.
"""

from __future__ import annotations

from collections import Counter
from decimal import ROUND_HALF_UP, Decimal

SHORT = {"labour": "lab", "parts": "par", "outwork": "out", "firm": "fir", "provisional": "pro"}


def half_up(value: Decimal, places: str) -> Decimal:
    return value.quantize(Decimal(places), rounding=ROUND_HALF_UP)


def wanted_rows(expected) -> dict[str, tuple[str, Decimal]]:
    """(number of lines as stated, amount) by row."""
    return {
        row["id"]: (row["lines"], Decimal(row["amount_GBP_or_stated"]))
        for row in expected("totals")
    }


def test_groups_by_kind_and_certainty(golden, expected):
    wanted = {code: row for code, row in wanted_rows(expected).items()
              if code.endswith(("-fir", "-pro")) and not code.startswith("ALL")}  # fmt: skip
    members = Counter((one.line.group, one.line.kind, one.line.certainty) for one in golden.lines)
    found = {}
    for (group, kind, certainty), count in members.items():
        figure = golden.reasons.get(f"group/{group}/{kind}/{certainty}")
        assert len(figure.inputs) == count
        found[f"{group}-{SHORT[kind]}-{SHORT[certainty]}"] = (str(count), figure.value.amount)
    assert len(wanted) > 50
    assert found == wanted


def test_group_sums_and_contingency_by_group(golden, expected):
    wanted = {code: row for code, row in wanted_rows(expected).items()
              if code.startswith("G") and code.endswith(("-sum", "-exp"))}  # fmt: skip
    shares = Counter(share.group for share in golden.contingency.shares)
    lines = Counter(one.line.group for one in golden.lines)
    found = {}
    for group in golden.price.groups:
        code = group.group
        if shares[code]:
            found[f"{code}-con-exp"] = (str(shares[code]), group.contingency.amount)
        whole = group.lines + group.contingency
        found[f"{code}-sum"] = (str(lines[code] + shares[code]), whole.amount)
        assert golden.reasons.get(f"group/{code}").value == whole
    assert found == wanted


def test_sums_of_all_lines(golden, expected):
    wanted = {code: row for code, row in wanted_rows(expected).items() if code.startswith("ALL")}
    price = golden.price
    kinds = Counter(one.line.kind for one in golden.lines)
    certainties = Counter(one.line.certainty for one in golden.lines)
    shares = str(len(golden.contingency.shares))
    found = {
        **{f"ALL-{SHORT[kind]}": (str(kinds[kind]), amount.amount)
           for kind, amount in price.by_kind.items()},
        "ALL-con": (shares, price.contingency.amount),
        "ALL-fir": (str(certainties["firm"]), price.firm_lines.amount),
        "ALL-pro": (str(certainties["provisional"]), price.provisional_lines.amount),
        "ALL-exp": (shares, sum(one.amount.amount for one in golden.contingency.shares)),
    }  # fmt: skip
    assert found == wanted


def test_discount_to_gross(golden, expected):
    wanted = wanted_rows(expected)
    price = golden.price
    found = {
        "DISC": -price.discount.amount,  # 2 % x 82,333 = 1,646.66
        "FRT": price.freight.amount,
        "LEVY": price.levy_sum.amount,  # 4 % x 120,673 = 4,826.92, capped 3,600; + 235 + 39 + 85
        "BASE": price.base.amount,  # 120,673 + 100,551 + 18,643 - 1,647 + 2,450 + 3,959
        "CONT": price.contingency.amount,
        "NET": price.net.amount,
        "TAX": price.totals.tax.amount,  # 20 % x 275,946
        "GROSS": price.totals.gross.amount,
    }
    assert found == {code: wanted[code][1] for code in found}
    assert {levy.id for levy in price.levies if levy.capped} == {"L1"}
    assert [(line.category, line.rate) for line in price.totals.taxes] == [("S", Decimal(20))]


def test_hours_and_hours_by_trade(golden, expected):
    wanted = {code[2:]: row for code, row in wanted_rows(expected).items()
              if code.startswith("H-")}  # fmt: skip
    operations = Counter(one.line.row.trade for one in golden.lines if one.line.kind == "labour")
    found = {
        trade: (str(operations[trade]), hours)
        for trade, hours in golden.price.hours_by_trade.items()
    }
    assert found == wanted
    assert golden.price.hours == wanted_rows(expected)["HOURS"][1] == 1510
    assert sum(group.hours for group in golden.price.groups) == 1510


def test_workshop_cost(golden, expected):
    wanted = wanted_rows(expected)
    cost = golden.price.cost_by_kind
    found = {f"COST-{SHORT[kind]}": half_up(amount, "0.01") for kind, amount in cost.items()}
    found["COST"] = half_up(sum(cost.values()), "0.01")
    assert found == {code: wanted[code][1] for code in found}


def test_shares_stated(golden, expected):
    wanted = wanted_rows(expected)
    price = golden.price
    assert golden.share_of_new * 100 == wanted["PCTNEW"][1]
    held = price.contingency.amount / price.base.amount * 100
    assert half_up(held, "0.1") == wanted["PCTCONT"][1]


def test_no_row_of_the_totals_is_left_unchecked(expected):
    checked = ("-fir", "-pro", "-sum", "-exp", "-lab", "-par", "-out", "-con")
    alone = {"DISC", "FRT", "LEVY", "BASE", "CONT", "NET", "TAX", "GROSS", "HOURS", "PCTNEW",
             "PCTCONT", "COST"}  # fmt: skip
    for code in wanted_rows(expected):
        assert code in alone or code.startswith("H-") or code.endswith(checked)
