"""Remember when a person last saw a job's targets"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "look",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_look_job_id_job")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_look_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_look")),
        sa.UniqueConstraint("person_id", "job_id", name=op.f("uq_look_person_id")),
    )
