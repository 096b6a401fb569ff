"""English of every label of the inspection's papers; `inspection_labels` says it in other
languages."""

from __future__ import annotations

from estimator.documents.grammar.counted import Counted

# Report

REPORT = "Inspection report"
REPORT_REFERENCE = "Inspection report \u00b7 {job} \u00b7 {day}"
INSPECTED_ON, INSPECTED_BY = "Inspected", "By"
METER = "Hour meter"
METERS = {"original": "original", "replaced": "replaced", "not known": "not known"}
FOUND_COUNT, NOT_JUDGED_COUNT, TESTS_COUNT = "Findings", "Not judged", "Tests done"
OF_ALL = "{done} of {all}"
FOUND_WORDS = "{count} {what}"
NOT_JUDGED_WORDS = "in {groups}"
GROUPS_COUNT = Counted("{count} component group", "{count} component groups")
DISPOSITIONS = {
    "reuse": "can be used again", "recondition": "to be reconditioned",
    "exchange": "to be exchanged", "replace": "to be replaced", "open": "settled when it is open",
}  # fmt: skip
FINDING, READING, LIMITS = "Finding", "Reading", "New / rebuild / service"
WHAT_FOLLOWS = "What follows"
LIMIT_TEXT = "{new} / {rebuild} / {service} {unit}"
GAUGE_KEY = (
    "Gauge: new at the left, short tick the rebuild limit, long tick the service limit, triangle "
    "the reading. A reading past either end stands at the end."
)
ALARM, CLEAR, NO_ANSWER = "alarm", "clear", "no result"
OWN_JUDGEMENT = "our own judgement"
NOT_SETTLED_YET = "extent: {reason}"
PHOTOGRAPHS = "Photographs"
SCALE = "Photographs show place and state; they are not to scale. Sizes are those of the readings."
TAKEN = "{name}, {day}"
PICTURE_MISSING = "{name}: the picture is not in the record"
PICTURE_DAMAGED = "{name}: the picture is damaged and cannot be shown"
NOTHING_FOUND = "No finding is recorded."
NOT_LOOKED = "What nobody could judge"
NOTED, CLOSED = "Noted as not seen or not tested", "Closed until the strip"
ALL_JUDGED = "Nothing is left that nobody could judge."
TESTS_DONE, TESTS_NOT_DONE = "Tests and looks done", "Not done"
NONE_DONE, ALL_DONE = "None.", "None: all were done."
TEST_ANSWER = "{name}: {answer}"
TEST_WHY = "{name} ({why})"

# Blank sheet

SHEET = "Inspection sheet"
SHEET_REFERENCE = "Inspection sheet \u00b7 {what} \u00b7 {day}"
ASKED_COUNT = "{measures} readings and looks, {tests} tests"
FILL_MACHINE, FILL_SERIAL, FILL_HOURS = "Machine, number of the fleet", "Serial", "Hours"
FILL_CUSTOMER, FILL_PLACE = "Customer", "Place"
FILL_DAY, FILL_BY = "Date", "Inspected by"
FILL_METER = "Hour meter"
BEFORE_YOU_START = "Before you start"
HEED = "Heed: {hazards}"
ASKED, ASKED_READING, ASKED_LIMITS = "What to read or look at", "Reading", "Limits"
ASKED_STATE, ASKED_PHOTO = "State", "Photo no."
ASKED_TEST, ASKED_ANSWER = "Test", "Answer"
STATES = ("sound", "worn", "not seen")
ANSWERS = ("clear", "alarm", "not done")
NEW, REBUILD, SERVICE, BAND, GAUGE_ERROR = (
    "new {value}", "rebuild {value}", "service {value}", "{low} to {high}", "gauge \u00b1{value}",
)  # fmt: skip
AT_LEAST, AT_MOST = "at least {value}", "at most {value}"
ALARM_WHEN = "Alarm: {alarm}"
LOOK_BEFORE = "look before the strip"
NOTHING_ASKED = "Nothing is asked here: look, and note what you see."
SAMPLES, SAMPLE_NUMBER = "Oil and coolant samples", "Sample no."
NOTES, PHOTO_LIST = "Notes", "Photographs"
PHOTO_SHOWS, PHOTO_SCALE = "Shows, and where", "Scale in it"
GROUP_NOTES = "Notes on {group}"
