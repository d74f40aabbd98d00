"""Run the steps on the connection that was handed over."""

from alembic import context

from panelwright.shelf.tables import Base


def migrate() -> None:
    """All steps that are wanted, within the transaction that is open."""
    context.configure(
        connection=context.config.attributes["connection"],
        target_metadata=Base.metadata,
        render_as_batch=True,
        transactional_ddl=True,
    )
    context.run_migrations()


if hasattr(context, "config"):  # there while steps are run, not when the module is only read
    migrate()
