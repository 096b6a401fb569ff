"""English of the e-mail drafts; `email_labels` says it in other languages.

Words by the kind of paper of `services/draft_email.py`. A subject names the job and its revision.
"""

from __future__ import annotations

SUBJECTS = {
    "quote": "Quote {job}",
    "variation": "Variation {name} to {job}",
    "strip": "Strip report, {job}",
    "declined": "Work declined, put off or not answered, {job}",
    "ledger": "Ledger, {job}",
    "stop": "Stop after teardown, {job}",
}
BODY = """Dear {customer},

please find attached: {subject} (serial {serial}).

{more}Nothing in this message is an approval, and no answer is not one either. Please answer on the
attached paper, or by replying to this message with your name and capacity.

{sender}
{contact}"""
ASKS = "It waits for your answer."
