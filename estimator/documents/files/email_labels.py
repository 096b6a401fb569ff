"""Labels in the language being spoken; their English stands in `email_texts.py`.

Take them at the moment of use (`labels.BODY`), never at import.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from estimator.documents.grammar.spoken import labels_of

if TYPE_CHECKING:
    from estimator.documents.files.email_texts import *  # noqa: F403
else:
    __getattr__ = labels_of("estimator.documents.files.email_texts")
