"""Labels in the language being spoken; their English stands in `house_texts.py`.

Take them at the moment of use (`labels.OWN_TERMS`), never at import.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from estimator.documents.grammar.spoken import labels_of

if TYPE_CHECKING:
    from estimator.documents.grammar.house_texts import *  # noqa: F403
else:
    __getattr__ = labels_of("estimator.documents.grammar.house_texts")
