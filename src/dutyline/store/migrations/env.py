"""Run by Alembic inside the transaction of :func:`dutyline.store.upkeep.bring_up`."""

from alembic import context

from dutyline.store.rows import VERSION_TABLE, Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    version_table=VERSION_TABLE,
)
context.run_migrations()
