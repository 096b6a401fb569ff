"""The worked contract as its papers are filled from it, at any line of its events; no record."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from types import SimpleNamespace
from typing import Any

from PIL import Image

from estimator.domain.contract import events as happened
from estimator.domain.contract.following import contract_of
from estimator.domain.contract.papers import Picture
from estimator.domain.priced_work import priced_work
from estimator.domain.reasons import plain
from estimator.services.paper_parts import Sources, head_of
from estimator.services.write_contract import Here
from tests.golden.golden_contract import golden_events
from tests.golden.golden_job import EXPECTED, golden_priced

CHAIN = "0123456789abcdef" * 4
ORDER = ("V01", "V02", "V03", "V04", "V05", "V06", "V07", "V08", "V09", "V10", "V11", "V12", "V13",
         "V14", "V15", "V16", "V17", "V18")  # fmt: skip


@cache
def golden_work():
    priced = golden_priced()
    return priced, priced_work(priced.job, priced.cat)


def events_until(line: str, **accepted: Any) -> list[happened.Event]:
    """Events up to and with a line of the file; `accepted` changes what was accepted."""
    priced, work = golden_work()
    found: list[happened.Event] = []
    for name, events in golden_events(work, priced.contingency.amount):
        found += events
        if name == line:
            break
    first = found[0]
    assert isinstance(first, happened.Accepted)
    found[0] = replace(first, acceptance=replace(first.acceptance, **accepted))
    return found


def sources_of(events: list[happened.Event], day: date) -> Sources:
    priced, work = golden_work()
    here = Here(priced.job, "accepted", contract_of(events), work)
    figures = {name: {"value": plain(one.value)} for name, one in priced.reasons.figures.items()}
    issued: Any = SimpleNamespace(figures=json.dumps(figures))
    record: Any = None
    return Sources(record, here, issued, head_of(here, day, CHAIN), ())


@cache
def sources_at(line: str, **accepted: Any) -> Sources:
    """The contract after a line of the events file, on that day."""
    events = events_until(line, **accepted)
    return sources_of(events, events[-1].at.date())


def picture(name: str = "V06-1", size: tuple[int, int] = (800, 600), caption: str = "") -> Picture:
    """A photograph, drawn."""
    out = io.BytesIO()
    shade = sum(map(ord, name)) * 40 % 256
    Image.new("RGB", size, (shade, 90, 110)).save(out, "JPEG")
    return Picture(name, caption, out.getvalue(), *size)


FIGURE = re.compile(r"[+\u2212]?[\d,]+(\.\d+)?|\u2013")


def figure(text: str) -> Decimal:
    """A printed sum; a dash is nothing."""
    plain = text.replace("£", "").replace(",", "").replace("\u2212", "-").replace("+", "")
    return Decimal(0) if plain == "\u2013" else Decimal(plain)


def sums_after(lines: list[str], label: str, *names: str) -> list[Decimal]:
    """Figures that follow their names, from the first line that says `label` on."""
    lines = lines[lines.index(label) :]
    found = []
    for name in names:
        at = lines.index(name)
        found.append(figure(lines[at + 1]))
        lines = lines[at + 1 :]
    return found


def expected(event: str) -> dict[str, str]:
    """The ledger after a line of the events, worked by hand."""
    with (EXPECTED / "expected_ledger.csv").open(encoding="utf-8", newline="") as file:
        return next(row for row in csv.DictReader(file) if row["event"] == event)
