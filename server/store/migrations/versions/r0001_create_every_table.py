"""Create every table"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "photo",
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("stored_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_photo")),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("system", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop")),
    )
    op.create_table(
        "bay",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("shop_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["shop_id"], ["shop.id"], name=op.f("fk_bay_shop_id_shop")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bay")),
    )
    with op.batch_alter_table("bay", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bay_shop_id"), ["shop_id"], unique=False)

    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("shop_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("pin_hash", sa.String(), nullable=False),
        sa.Column("guided", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["shop_id"], ["shop.id"], name=op.f("fk_person_shop_id_shop")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("shop_id", "name_key", name=op.f("uq_person_shop_id")),
    )
    with op.batch_alter_table("person", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_person_shop_id"), ["shop_id"], unique=False)

    op.create_table(
        "shim",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("shop_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("thickness_m", sa.Float(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["shop_id"], ["shop.id"], name=op.f("fk_shim_shop_id_shop")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shim")),
    )
    with op.batch_alter_table("shim", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_shim_shop_id"), ["shop_id"], unique=False)

    op.create_table(
        "guess",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("address", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_guess_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_guess")),
    )
    with op.batch_alter_table("guess", schema=None) as batch_op:
        batch_op.create_index("ix_guess_address_at", ["address", "at"], unique=False)
        batch_op.create_index("ix_guess_person_id_at", ["person_id", "at"], unique=False)

    op.create_table(
        "receipt",
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_receipt_person_id_person")),
        sa.PrimaryKeyConstraint("client_id", name=op.f("pk_receipt")),
    )
    op.create_table(
        "sign_in",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("form_key", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_sign_in_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_sign_in_token_hash")),
    )
    with op.batch_alter_table("sign_in", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_in_person_id"), ["person_id"], unique=False)

    op.create_table(
        "vehicle",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("shop_id", sa.Integer(), nullable=False),
        sa.Column("make", sa.String(), nullable=False),
        sa.Column("model", sa.String(), nullable=False),
        sa.Column("year", sa.Integer(), nullable=True),
        sa.Column("plate", sa.String(), nullable=False),
        sa.Column("drive", sa.String(), nullable=False),
        sa.Column("front_end", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("created_by", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["created_by"], ["person.id"], name=op.f("fk_vehicle_created_by_person")),
        sa.ForeignKeyConstraint(["shop_id"], ["shop.id"], name=op.f("fk_vehicle_shop_id_shop")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_vehicle")),
    )
    with op.batch_alter_table("vehicle", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_vehicle_shop_id"), ["shop_id"], unique=False)

    op.create_table(
        "job",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("shop_id", sa.Integer(), nullable=False),
        sa.Column("vehicle_id", sa.Integer(), nullable=False),
        sa.Column("bay_id", sa.Integer(), nullable=True),
        sa.Column("front_end", sa.String(), nullable=False),
        sa.Column("scopes", sa.JSON(), nullable=False),
        sa.Column("sides", sa.String(), nullable=False),
        sa.Column("drive", sa.String(), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("opened_by", sa.Integer(), nullable=False),
        sa.Column("parked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("parked_by", sa.Integer(), nullable=True),
        sa.Column("parked_why", sa.String(), nullable=False),
        sa.Column("released_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("released_by", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["bay_id"], ["bay.id"], name=op.f("fk_job_bay_id_bay")),
        sa.ForeignKeyConstraint(["opened_by"], ["person.id"], name=op.f("fk_job_opened_by_person")),
        sa.ForeignKeyConstraint(["parked_by"], ["person.id"], name=op.f("fk_job_parked_by_person")),
        sa.ForeignKeyConstraint(["released_by"], ["person.id"], name=op.f("fk_job_released_by_person")),
        sa.ForeignKeyConstraint(["shop_id"], ["shop.id"], name=op.f("fk_job_shop_id_shop")),
        sa.ForeignKeyConstraint(["vehicle_id"], ["vehicle.id"], name=op.f("fk_job_vehicle_id_vehicle")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
    )
    with op.batch_alter_table("job", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_job_bay_id"), ["bay_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_job_shop_id"), ["shop_id"], unique=False)
        batch_op.create_index("ix_job_shop_id_released_at", ["shop_id", "released_at"], unique=False)
        batch_op.create_index(batch_op.f("ix_job_vehicle_id"), ["vehicle_id"], unique=False)

    op.create_table(
        "spec",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("vehicle_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("quantity", sa.String(), nullable=False),
        sa.Column("low", sa.Float(), nullable=False),
        sa.Column("high", sa.Float(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("generic", sa.Boolean(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_spec_person_id_person")),
        sa.ForeignKeyConstraint(["supersedes_id"], ["spec.id"], name=op.f("fk_spec_supersedes_id_spec")),
        sa.ForeignKeyConstraint(["vehicle_id"], ["vehicle.id"], name=op.f("fk_spec_vehicle_id_vehicle")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_spec")),
        sa.UniqueConstraint("client_id", name=op.f("uq_spec_client_id")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_spec_supersedes_id")),
    )
    with op.batch_alter_table("spec", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_spec_vehicle_id"), ["vehicle_id"], unique=False)

    op.create_table(
        "step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("operation", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("direction", sa.String(), nullable=False),
        sa.Column("after", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("started_by", sa.Integer(), nullable=True),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("done_by", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["done_by"], ["person.id"], name=op.f("fk_step_done_by_person")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_step_job_id_job")),
        sa.ForeignKeyConstraint(["started_by"], ["person.id"], name=op.f("fk_step_started_by_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step")),
        sa.UniqueConstraint("job_id", "seq", name=op.f("uq_step_job_id")),
    )
    op.create_table(
        "target",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("value", sa.Float(), nullable=True),
        sa.Column("uncertainty", sa.Float(), nullable=True),
        sa.Column("quantity", sa.String(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("formula", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("inputs", sa.JSON(), nullable=False),
        sa.Column("capture_ids", sa.JSON(), nullable=False),
        sa.Column("spec_ids", sa.JSON(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_target_job_id_job")),
        sa.ForeignKeyConstraint(
            ["supersedes_id"], ["target.id"], name=op.f("fk_target_supersedes_id_target")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_target")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_target_supersedes_id")),
    )
    with op.batch_alter_table("target", schema=None) as batch_op:
        batch_op.create_index("ix_target_job_id_key", ["job_id", "key", "place"], unique=False)

    op.create_table(
        "hazard",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("energy_J", sa.Float(), nullable=True),
        sa.Column("began_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("began_by", sa.Integer(), nullable=False),
        sa.Column("began_step_id", sa.Integer(), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("ended_by", sa.Integer(), nullable=True),
        sa.Column("ended_step_id", sa.Integer(), nullable=True),
        sa.Column("made_safe", sa.String(), nullable=False),
        sa.Column("made_safe_by", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["began_by"], ["person.id"], name=op.f("fk_hazard_began_by_person")),
        sa.ForeignKeyConstraint(["began_step_id"], ["step.id"], name=op.f("fk_hazard_began_step_id_step")),
        sa.ForeignKeyConstraint(["ended_by"], ["person.id"], name=op.f("fk_hazard_ended_by_person")),
        sa.ForeignKeyConstraint(["ended_step_id"], ["step.id"], name=op.f("fk_hazard_ended_step_id_step")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_hazard_job_id_job")),
        sa.ForeignKeyConstraint(["made_safe_by"], ["person.id"], name=op.f("fk_hazard_made_safe_by_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hazard")),
    )
    with op.batch_alter_table("hazard", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_hazard_job_id"), ["job_id"], unique=False)

    op.create_table(
        "hold",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("needs_role", sa.String(), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("confirmed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("confirmed_by", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["confirmed_by"], ["person.id"], name=op.f("fk_hold_confirmed_by_person")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_hold_job_id_job")),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_hold_step_id_step")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hold")),
    )
    with op.batch_alter_table("hold", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_hold_job_id"), ["job_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_hold_step_id"), ["step_id"], unique=False)

    op.create_table(
        "tag",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("part", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("shelf", sa.String(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_tag_job_id_job")),
        sa.ForeignKeyConstraint(["made_by"], ["person.id"], name=op.f("fk_tag_made_by_person")),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_tag_step_id_step")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tag")),
        sa.UniqueConstraint("client_id", name=op.f("uq_tag_client_id")),
        sa.UniqueConstraint("code", name=op.f("uq_tag_code")),
        sa.UniqueConstraint("job_id", "number", name=op.f("uq_tag_job_id")),
    )
    with op.batch_alter_table("tag", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_tag_step_id"), ["step_id"], unique=False)

    op.create_table(
        "torque_record",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("fastener", sa.String(), nullable=False),
        sa.Column("act", sa.String(), nullable=False),
        sa.Column("stage", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("value", sa.Float(), nullable=True),
        sa.Column("low", sa.Float(), nullable=True),
        sa.Column("high", sa.Float(), nullable=True),
        sa.Column("wrench", sa.String(), nullable=False),
        sa.Column("setting", sa.String(), nullable=False),
        sa.Column("paint", sa.Boolean(), nullable=False),
        sa.Column("confirmed", sa.Boolean(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_torque_record_job_id_job")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_torque_record_person_id_person")),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_torque_record_step_id_step")),
        sa.ForeignKeyConstraint(
            ["supersedes_id"], ["torque_record.id"], name=op.f("fk_torque_record_supersedes_id_torque_record")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_torque_record")),
        sa.UniqueConstraint("client_id", name=op.f("uq_torque_record_client_id")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_torque_record_supersedes_id")),
    )
    with op.batch_alter_table("torque_record", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_torque_record_job_id"), ["job_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_torque_record_step_id"), ["step_id"], unique=False)

    op.create_table(
        "capture",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("value", sa.Float(), nullable=True),
        sa.Column("uncertainty", sa.Float(), nullable=True),
        sa.Column("quantity", sa.String(), nullable=False),
        sa.Column("read_as", sa.String(), nullable=False),
        sa.Column("confirmed", sa.Boolean(), nullable=False),
        sa.Column("photo_digest", sa.String(), nullable=True),
        sa.Column("on_capture_id", sa.Integer(), nullable=True),
        sa.Column("x", sa.Float(), nullable=True),
        sa.Column("y", sa.Float(), nullable=True),
        sa.Column("tag_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("phone_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_capture_job_id_job")),
        sa.ForeignKeyConstraint(
            ["on_capture_id"], ["capture.id"], name=op.f("fk_capture_on_capture_id_capture")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_capture_person_id_person")),
        sa.ForeignKeyConstraint(
            ["photo_digest"], ["photo.digest"], name=op.f("fk_capture_photo_digest_photo")
        ),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_capture_step_id_step")),
        sa.ForeignKeyConstraint(
            ["supersedes_id"], ["capture.id"], name=op.f("fk_capture_supersedes_id_capture")
        ),
        sa.ForeignKeyConstraint(["tag_id"], ["tag.id"], name=op.f("fk_capture_tag_id_tag")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_capture")),
        sa.UniqueConstraint("client_id", name=op.f("uq_capture_client_id")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_capture_supersedes_id")),
    )
    with op.batch_alter_table("capture", schema=None) as batch_op:
        batch_op.create_index("ix_capture_job_id_key", ["job_id", "key"], unique=False)
        batch_op.create_index(batch_op.f("ix_capture_step_id"), ["step_id"], unique=False)

    op.create_table(
        "tag_move",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("tag_id", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("shelf", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_tag_move_person_id_person")),
        sa.ForeignKeyConstraint(["tag_id"], ["tag.id"], name=op.f("fk_tag_move_tag_id_tag")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tag_move")),
        sa.UniqueConstraint("client_id", name=op.f("uq_tag_move_client_id")),
    )
    with op.batch_alter_table("tag_move", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_tag_move_tag_id"), ["tag_id"], unique=False)

    op.create_table(
        "verification",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("record_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_verification_person_id_person")),
        sa.ForeignKeyConstraint(
            ["record_id"], ["torque_record.id"], name=op.f("fk_verification_record_id_torque_record")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_verification")),
        sa.UniqueConstraint("client_id", name=op.f("uq_verification_client_id")),
        sa.UniqueConstraint("record_id", name=op.f("uq_verification_record_id")),
    )
    op.create_table(
        "decision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("part", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("verdict", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("evidence_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["evidence_id"], ["capture.id"], name=op.f("fk_decision_evidence_id_capture")
        ),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_decision_job_id_job")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_decision_person_id_person")),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_decision_step_id_step")),
        sa.ForeignKeyConstraint(
            ["supersedes_id"], ["decision.id"], name=op.f("fk_decision_supersedes_id_decision")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_decision")),
        sa.UniqueConstraint("client_id", name=op.f("uq_decision_client_id")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_decision_supersedes_id")),
    )
    with op.batch_alter_table("decision", schema=None) as batch_op:
        batch_op.create_index("ix_decision_job_id_part", ["job_id", "part"], unique=False)
        batch_op.create_index(batch_op.f("ix_decision_step_id"), ["step_id"], unique=False)
