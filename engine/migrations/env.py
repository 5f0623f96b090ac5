"""Run by alembic within `upgrade.bring_up`, on the connection and in the transaction that it was given."""

from alembic import context

context.configure(connection=context.config.attributes["connection"], render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
