"""``panelwright shelf``: what is kept, in text and for machines."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Annotated, Any

import typer

from panelwright.cli.options import System
from panelwright.errors import InputError, PanelwrightError, Problem

app = typer.Typer(
    name="shelf",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    help="Panels, pieces, photos, materials and prices that are kept.",
)

Where = Annotated[
    str,
    typer.Option(
        "--shelf",
        metavar="PLACE",
        envvar="PANELWRIGHT_SHELF",
        show_envvar=False,
        help="A folder, or the address of a PostgreSQL database.",
    ),
]
Units = Annotated[System, typer.Option(help="Units to show.")]
AsJson = Annotated[bool, typer.Option("--json", help="For machines, in SI units.")]


@app.command("list", short_help="The panels that are kept.")
def list_(
    words: Annotated[list[str] | None, typer.Argument(help="Beginnings of words.")] = None,
    tag: Annotated[list[str] | None, typer.Option(metavar="TAG", help="With this tag.")] = None,
    core: Annotated[list[str] | None, typer.Option(metavar="NAME", help="With this core.")] = None,
    process: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help="Made in this way.")
    ] = None,
    thickness: Annotated[
        str, typer.Option(metavar="SPAN", help='"5 to 12 mm", "over 5 mm", "under 12 mm".')
    ] = "",
    mass: Annotated[
        str, typer.Option(metavar="SPAN", help='"2 to 5 kg/m2", "over ...", "under ...".')
    ] = "",
    measured: Annotated[
        bool | None, typer.Option("--measured/--predicted", help="Which of the two only.")
    ] = None,
    order: Annotated[
        str, typer.Option(help="newest, number, title, thinnest, thickest, lightest, heaviest.")
    ] = "newest",
    units: Units = System.SI,
    most: Annotated[int, typer.Option(min=1, max=500, help="How many to show.")] = 24,
    skip: Annotated[int, typer.Option(min=0, help="How many to pass over.")] = 0,
    json: AsJson = False,
    shelf: Where = "",
) -> None:
    """The panels that are kept, all or those for which everything given holds."""
    from panelwright.jobs.shelf import MEASURED, PREDICTED, Filter

    wanted = Filter(
        text=" ".join(words or ()),
        tags=tuple(tag or ()),
        thickness=_span(thickness, "thickness"),
        areal_mass=_span(mass, "areal_mass"),
        cores=tuple(core or ()),
        processes=tuple(process or ()),
        standing={None: "", True: MEASURED, False: PREDICTED}[measured],
        order=order,
        size=most,
        offset=skip,
    )
    with _opened(shelf) as opened:
        found = opened.find(wanted)
        is_empty = not found.total and not opened.find().total
    if is_empty and not json:
        typer.echo("The shelf is empty.")
    else:
        typer.echo(_json(found) if json else _texts().list_text(found, units.value))


@app.command(short_help="One panel or piece with all that belongs to it.")
def show(
    number: Annotated[str, typer.Argument(help="Such as P-0007, or S-0012 for a piece.")],
    revision: Annotated[
        int | None, typer.Option(metavar="NUMBER", help="Another than the newest.")
    ] = None,
    file: Annotated[bool, typer.Option("--file", help="The panel file alone.")] = False,
    today: Annotated[
        bool, typer.Option("--today", help="What would be predicted today, and why it differs.")
    ] = False,
    units: Units = System.SI,
    json: AsJson = False,
    shelf: Where = "",
) -> None:
    """One panel as it was predicted when it was saved, or one piece with what was read off it."""
    with _opened(shelf) as opened:
        if number.strip()[:1].upper() == "S":
            piece = opened.piece(number)
            typer.echo(_json(piece) if json else _texts().piece_text(piece, units.value))
            return
        panel = opened.panel(number, revision)
        moved = opened.today(number, revision)[1] if today else None
    if file:
        typer.echo(panel.text, nl=False)
    elif json:
        typer.echo(_json(panel if moved is None else {**vars(panel), "changes": moved}))
    else:
        typer.echo(_texts().panel_text(panel, moved, units.value))


@app.command(short_help="Keep panel files, a photo or your own materials.")
def add(
    files: Annotated[list[Path], typer.Argument(help="Panel files, photos or materials.")],
    to: Annotated[
        str,
        typer.Option(metavar="NUMBER", help="A new revision of this panel; whose photo it is."),
    ] = "",
    tag: Annotated[list[str] | None, typer.Option(metavar="TAG", help="Tags it bears.")] = None,
    remark: Annotated[str, typer.Option(help="What to remember of it.")] = "",
    photo: Annotated[bool, typer.Option("--photo", help="They are photos; with --to.")] = False,
    materials: Annotated[
        bool, typer.Option("--materials", help="The file is your own materials, in TOML.")
    ] = False,
    json: AsJson = False,
    shelf: Where = "",
) -> None:
    """Keep panel files, each as a panel of its own or as the next revision of one.

    With --photo: photos of a panel or piece. With --materials: the materials of the shop.
    """
    if photo and not to:
        raise InputError(Problem("a photo is of a panel or a piece", hint="--to S-0012"))
    if ((to and not photo) or materials) and len(files) > 1:
        raise InputError(Problem("one file at a time here", f"{len(files)} files"))
    from panelwright.cli.files import read_bytes

    told: list[dict[str, Any]] = []
    with _opened(shelf) as opened:
        for path in files:
            content = read_bytes(path)
            if photo:
                told.append(asdict(opened.add_photo(content, path.name, to, remark)))
            elif materials:
                kept = opened.save_own_materials(_decoded(content, path), remark)
                told.append({"materials": kept})
            else:
                tags = tuple(tag) if tag is not None else None
                number, revision = opened.save_panel(
                    _decoded(content, path), to or None, remark=remark, tags=tags, file=str(path)
                )
                told.append({"number": number, "revision": revision})
    typer.echo(_json(told) if json else _texts().added_text(told))


@app.command(short_help="All of it as one zip of plain files.")
def export(
    file: Annotated[Path, typer.Argument(help="The zip to write; never over another.")],
    shelf: Where = "",
) -> None:
    """Write panel files, predictions, tables and photos to one zip that `import` reads back."""
    with _opened(shelf) as opened:
        opened.export(file)
    typer.echo(f"Written to {file}")


@app.command("import", short_help="Bring an exported shelf here.")
def import_(
    file: Annotated[Path, typer.Argument(help="A zip that `export` wrote.")],
    beside: Annotated[
        bool, typer.Option("--beside", help="Give new numbers where numbers clash.")
    ] = False,
    json: AsJson = False,
    shelf: Where = "",
) -> None:
    """Bring all of an exported shelf here, or nothing; what is here is never written over."""
    with _opened(shelf) as opened:
        told = opened.import_(file, beside=beside)
    typer.echo(_json(told) if json else _texts().imported_text(told))


@app.command(short_help="A copy in a new folder.")
def backup(
    folder: Annotated[Path, typer.Argument(help="A new folder, itself a shelf then.")],
    shelf: Where = "",
) -> None:
    """Copy the shelf into a new folder, also while it is in use."""
    with _opened(shelf) as opened:
        opened.backup(folder)
    typer.echo(f"Copied to {folder}")


@app.command(short_help="Read all of it and tell what is wrong.")
def verify(json: AsJson = False, shelf: Where = "") -> None:
    """Read every prediction and photo, and tell what is damaged or missing."""
    with _opened(shelf) as opened:
        told = opened.verify()
    if json:
        typer.echo(_json(told))
    else:
        typer.echo(_texts().verified_text(told))
    if told.problems:
        raise PanelwrightError([Problem(said) for said in told.problems])


# Between text and jobs --------------------------------------------------------------------------


def _opened(where: str) -> Any:
    """The shelf, for the length of a ``with``."""
    from contextlib import closing

    from panelwright.jobs.shelf import open_shelf

    return closing(open_shelf(where or None))


def _texts() -> Any:
    from panelwright.cli import shelf_text

    return shelf_text


def _json(told: Any) -> str:
    return json.dumps(_texts().plain(told), ensure_ascii=False, indent=1)


def _span(text: str, dimension: str) -> tuple[float | None, float | None]:
    """From and to in SI of ``5 to 12 mm``, ``over 5 mm``, ``under 12 mm``."""
    from panelwright import units

    words = text.strip()
    if not words:
        return None, None
    if words.startswith("over "):
        return units.parse(words[5:], dimension).value, None
    if words.startswith("under "):
        return None, units.parse(words[6:], dimension).value
    span = units.parse_span(words, dimension)
    return span.low, span.high


def _decoded(content: bytes, path: Path) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(Problem("the file is not text in UTF-8", file=str(path))) from None
