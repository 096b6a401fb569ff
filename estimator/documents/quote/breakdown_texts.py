"""English of the labels on the full breakdown: every line of the price."""

from __future__ import annotations

BREAKDOWN = "Every line of this price"
QUANTITY, HOURS, LABOUR, PARTS, OUTWORK, HOW_SURE = (
    "Number", "Hours", "Labour", "Parts", "Outwork", "How sure",
)  # fmt: skip
FIRM, PROVISIONAL = "firm", "provisional"
GROUP_SUM, GROUP_AMOUNT = "{group} together", "Amount {amount}"
ALL_LINES = "Priced work"
