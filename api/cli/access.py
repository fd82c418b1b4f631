"""`ventsleuth access`: organisations, people and keys, from the machine of the service."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import click

from api.access.desk import AccessDesk, open_access
from api.cli.where import DATA_OPTION, database_at
from api.storage.tables import LOCAL
from api.store import open_store
from api.who import ROLES, SCOPES

BY = "command line"
ORG_OPTION = click.option("--org", default=LOCAL, show_default=True, help="Id of the organisation.")


@click.group("access")
def command() -> None:
    """Look after organisations, people and keys."""


@command.command("org")
@click.argument("org")
@click.argument("name")
@DATA_OPTION
def add_organisation(org: str, name: str, data: str | None) -> None:
    """Add the organisation ORG with its NAME."""
    with _desk(data) as desk:
        desk.people.add_organisation(org, name)
        desk.audit.note_as(org, BY, "organisation-added", org)
    click.echo(f"Added {name} as {org}. Next: ventsleuth access person --org {org} LOGIN NAME")


@command.command("person")
@click.argument("login")
@click.argument("name")
@click.option("--role", type=click.Choice(sorted(ROLES)), default="administrator", show_default=True)
@click.option("--password", is_flag=True, help="Ask for a password; otherwise they sign in by link.")
@ORG_OPTION
@DATA_OPTION
def add_person(login: str, name: str, role: str, password: bool, org: str, data: str | None) -> None:
    """Add a person who signs in as LOGIN, and print a link that signs them in once."""
    typed = click.prompt("Password", hide_input=True, confirmation_prompt=True) if password else None
    with _desk(data) as desk:
        person = desk.people.add(org, login, name, role, desk.passwords.hash(typed) if typed else None)
        desk.audit.note_as(org, BY, "person-added", person.id, role)
        token, ends = desk.people.make_link(org, person.id)
    click.echo(f"Added {name} as {role}.")
    click.echo(f"Until {ends[:16]} UTC this signs them in once: ADDRESS OF THE SERVICE/sign-in?token={token}")


@command.command("link")
@click.argument("login")
@ORG_OPTION
@DATA_OPTION
def make_link(login: str, org: str, data: str | None) -> None:
    """Print a link that signs LOGIN in once."""
    with _desk(data) as desk:
        found = desk.people.with_login(login)
        if found is None or found[0].org != org:
            raise click.ClickException(f"Nobody signs in as {login} in {org}.")
        token, ends = desk.people.make_link(org, found[0].id)
        desk.audit.note_as(org, BY, "link-made", found[0].id)
    click.echo(f"Until {ends[:16]} UTC: ADDRESS OF THE SERVICE/sign-in?token={token}")


@command.command("key")
@click.argument("name")
@click.option("--scope", "scopes", multiple=True, type=click.Choice(sorted(SCOPES)), required=True)
@click.option("--days", default=365, show_default=True, type=click.IntRange(1, 730))
@ORG_OPTION
@DATA_OPTION
def make_key(name: str, scopes: tuple[str, ...], days: int, org: str, data: str | None) -> None:
    """Make an API key called NAME and print it, this once."""
    with _desk(data) as desk:
        desk.people.organisation(org)
        key, shown = desk.keys.add(org, name, scopes, days, BY)
        desk.audit.note_as(org, BY, "key-made", key.id, ", ".join(scopes))
    click.echo(shown)
    click.echo(f"Keep it now; it cannot be shown again. It ends on {key.expires_at[:10]}.", err=True)


@command.command("revoke")
@click.argument("key_id")
@ORG_OPTION
@DATA_OPTION
def revoke_key(key_id: str, org: str, data: str | None) -> None:
    """End the key KEY_ID now."""
    with _desk(data) as desk:
        desk.keys.revoke(org, key_id)
        desk.audit.note_as(org, BY, "key-revoked", key_id)
    click.echo("The key is no longer accepted.")


@command.command("list")
@ORG_OPTION
@DATA_OPTION
def list_all(org: str, data: str | None) -> None:
    """List people and keys."""
    with _desk(data) as desk:
        people, keys = desk.people.all(org), desk.keys.all(org)
    for person in people:
        state = "disabled" if person.disabled_at else person.role
        click.echo(f"{person.id}  {state:14} {person.login}  {person.name}")
    for key in keys:
        state = "revoked" if key.revoked_at else f"until {key.expires_at[:10]}"
        click.echo(f"{key.id}  {state:16} {key.name}  {', '.join(sorted(key.scopes))}")


@contextmanager
def _desk(data: str | None) -> Iterator[AccessDesk]:
    store = open_store(database_at(data))
    try:
        yield open_access(store.database, guarded=True)
    finally:
        store.close()
