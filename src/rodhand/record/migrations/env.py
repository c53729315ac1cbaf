"""Run by the migration library: each step in its own transaction on the connection given."""

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    transaction_per_migration=True,
    transactional_ddl=True,
)
context.run_migrations()
