"""What a job is compared with, as the one text that its row keeps."""

from __future__ import annotations

import json

from estimator.domain.new_machine import Factor, Input, NewMachine
from estimator.storage.database import RecordDamaged
from estimator.storage.value_codec import ValueCodec

_CODEC = ValueCodec((Factor, Input, NewMachine))


def new_machine_text(given: NewMachine | None) -> str | None:
    """The inputs as JSON; None where there are none. Raises NotKept."""
    return None if given is None else json.dumps(_CODEC.as_plain(given), ensure_ascii=False)


def new_machine_in(text: str | None) -> NewMachine | None:
    """The inputs that `new_machine_text` wrote. Raises RecordDamaged."""
    if text is None:
        return None
    try:
        found = _CODEC.value_of(json.loads(text))
    except (ValueError, ArithmeticError, TypeError, AttributeError) as error:
        raise RecordDamaged(f"a new machine's inputs cannot be read ({error!r:.60})") from error
    if not isinstance(found, NewMachine):
        raise RecordDamaged("a new machine's inputs are something else")
    return found
