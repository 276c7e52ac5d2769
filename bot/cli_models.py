"""doorround models: which speech models are there, and getting a better one."""

from __future__ import annotations

from typing import Annotated

import typer

from bot.errors import plainly
from bot.settings import read_settings

models_app = typer.Typer(help="Speech models: what is there, and how to hear better.", no_args_is_help=True)


@models_app.command("list")
def list_models() -> None:
    """List the engines and models that can be used now, and the one in use."""
    with plainly():
        from bot.hearing.models import installed_engines
        from bot.wiring import Ears

        settings = read_settings()
        for engine in installed_engines(settings.models):
            typer.echo(f"{engine.name:<14} {'ready' if engine.ready else 'not here':<9} {engine.about}")
        ears = Ears(settings)
        ears()
        typer.echo(ears.line)


@models_app.command("get")
def get(
    name: Annotated[str, typer.Argument(help="Name of a Vosk model.")] = "vosk-model-small-en-us-0.15",
) -> None:
    """Fetch a Vosk model into the models folder with Vosk's own downloader. Needs the network, once."""
    with plainly():
        from bot.hearing.models import get_vosk_model

        path = get_vosk_model(name, read_settings().models)
        typer.echo(f"{path.name} is ready. It is used from now on.")
