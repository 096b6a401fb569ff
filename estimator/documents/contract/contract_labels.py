"""Labels in the language being spoken; their English stands in `contract_texts.py`.

Take them at the moment of use (`labels.PRICE`), never at import.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from estimator.documents.grammar.spoken import labels_of

if TYPE_CHECKING:
    from estimator.documents.contract.contract_texts import *  # noqa: F403
else:
    __getattr__ = labels_of("estimator.documents.contract.contract_texts")
