"""Alembic's entry: runs on the connection that ``viewer.store.database.migrate`` hands over."""

from alembic import context

from viewer.store.tables import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
    transactional_ddl=True,
)
context.run_migrations()
