"""What a job is compared with: the inputs of rebuild or new, as one text."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring up."""
    op.add_column("job", sa.Column("new_machine", sa.Text(), nullable=True))


def downgrade() -> None:
    """Take back."""
    op.drop_column("job", "new_machine")
