"""doorround models: lists the speech models, and fetches a better one."""

from __future__ import annotations

from typing import Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson
from doorround.config.settings import read_settings

models_app = typer.Typer(
    help="Speech models: which are installed, and how to improve recognition.", no_args_is_help=True
)


@models_app.command("list")
def list_models(as_json: AsJson = False) -> None:
    """List the engines and models available now, and the one in use.

    Fails, after the list, if an installed model is rejected.
    """
    with cli_errors():
        from doorround.hearing.errors import EngineUnavailable
        from doorround.hearing.model_files.installed_models import installed_engines
        from doorround.wiring import EngineLoader

        settings = read_settings()
        rows = [
            Row(vars(each), (each.name, "ready" if each.ready else "not here", each.about))
            for each in installed_engines(settings.models)
        ]
        loader = EngineLoader(settings)
        refused: EngineUnavailable | None = None
        try:
            loader()
        except EngineUnavailable as error:
            refused = error
        notes = [loader.line] if loader.line else []
        show_listing(("engine", "state", "about"), rows, as_json, notes=notes)
        if refused is not None:
            raise refused


@models_app.command("get")
def get(
    name: Annotated[
        str, typer.Argument(help="Name of a Vosk model.")
    ] = "vosk-model-small-en-us-0.15",
    sha256: Annotated[
        str, typer.Option(help="SHA-256 of its zip, for a model that is not built in.")
    ] = "",
) -> None:
    """Fetch a Vosk model into the models folder, check it and list its files.

    Needs the network, once.
    """
    with cli_errors():
        from doorround.hearing.model_files.installed_models import get_vosk_model

        path = get_vosk_model(name, read_settings().models, sha256)
        typer.echo(f"{path.name} is ready, and used from now on.")


@models_app.command("trust")
def trust_model(
    name: Annotated[str, typer.Argument(help="Folder of the model, inside the models folder.")],
) -> None:
    """Trust a model that you installed yourself: records its files' hashes and verifies them from
    then on.
    """
    with cli_errors():
        from doorround.hearing.model_files.checksums import LIST
        from doorround.hearing.model_files.installed_models import trust

        models = read_settings().models
        count = trust(name, models)
        typer.echo(
            f"{count} files of {name} are noted in {models / name / LIST}. They are checked against"
            " it from now on."
        )
