"""The commands. Each parses, calls a job and prints; exit code 2 for input that is refused."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

import panelwright
from panelwright.cli import shelf
from panelwright.cli.options import PageSize, System
from panelwright.errors import PanelwrightError

app = typer.Typer(
    name="panelwright",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Panels of cloth, resin, core and timber: what they are, weigh and need.",
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"panelwright {panelwright.__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """Panels of cloth, resin, core and timber: what they are, weigh and need."""


@app.command(short_help="Thickness, mass and resin of a panel.")
def predict(
    panel: Annotated[
        str, typer.Argument(help='A panel file, or shop words: "biax 300, 8 mm redcedar, mat 450".')
    ],
    process: Annotated[str, typer.Option(help="How it is made; with shop words.")] = "",
    resin: Annotated[str, typer.Option(help="The resin; with shop words.")] = "",
    size: Annotated[str, typer.Option(help='"3.4 m x 0.9 m"; with shop words.')] = "",
    title: Annotated[str, typer.Option(help="A name for it; with shop words.")] = "",
    full: Annotated[bool, typer.Option("--full", help="Everything, with ranges.")] = False,
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    units: Annotated[System, typer.Option(help="Units to show.")] = System.SI,
    working: Annotated[
        str,
        typer.Option(
            metavar="NAME",
            help="How one number is made: thickness, areal_mass, mass, resin_in_part, "
            "resin_to_mix, stiffness_along, crushing, crimping_along, or what to mix of a product "
            "by its name; another name lists all there are.",
        ),
    ] = "",
    save: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the panel file; never over another.")
    ] = None,
    draw: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Draw the section as SVG; never over another file."),
    ] = None,
    materials: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own materials, beside the catalogue.")
    ] = None,
    on: Annotated[
        str,
        typer.Option(
            "--shelf", metavar="PLACE", help="With the materials and house values of this shelf."
        ),
    ] = "",
) -> None:
    """Thickness, mass and resin of a panel, each with its range and source."""
    from panelwright.cli import predict as command

    wanted = command.Wanted(panel, process, resin, size, title, full, json, units.value, working)
    typer.echo(command.predict(wanted, save, materials, draw, on))


@app.command(short_help="A panel against its duties: each limit kept or not.")
def check(
    file: Annotated[str, typer.Argument(help="A panel file with one [[duty]] or more.")],
    full: Annotated[bool, typer.Option("--full", help="Everything, with sources.")] = False,
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    units: Annotated[System, typer.Option(help="Units to show.")] = System.SI,
    materials: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own materials, beside the catalogue.")
    ] = None,
) -> None:
    """Whether a panel keeps the limits of its duties.

    Exit code 0 where every limit is kept, 1 where one is kept only just or not.
    """
    from panelwright.cli import check as command

    text, is_kept = command.check(file, full, json, units.value, materials)
    typer.echo(text)
    if not is_kept:
        raise typer.Exit(1)


@app.command(short_help="The plan of a build: what to buy, mix and do, against the clock.")
def build(
    file: Annotated[
        str, typer.Argument(help="A panel file, or a part file that names its panels.")
    ],
    part: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="What is built of it: a part file. Else one flat panel."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="DIR", help="Write sheet, shopping list and labels; never over any."),
    ] = None,
    full: Annotated[bool, typer.Option("--full", help="Everything, every step.")] = False,
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    units: Annotated[System, typer.Option(help="Units to show.")] = System.SI,
    paper: Annotated[PageSize, typer.Option(help="Size of the sheets.")] = PageSize.A4,
    materials: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own materials, beside the catalogue.")
    ] = None,
) -> None:
    """What to buy and mix for a part, in what order, against the clock."""
    from panelwright.cli import build as command

    wanted = command.Wanted(file, part, out, full, json, units.value, paper.value)
    typer.echo(command.build(wanted, materials))


@app.command()
def materials(
    words: Annotated[
        list[str] | None,
        typer.Argument(help='Words to search for; "show NAME" for all that is known of one.'),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    materials: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own materials, beside the catalogue.")
    ] = None,
) -> None:
    """What the catalogue knows, with sources."""
    from panelwright.cli import materials as command

    typer.echo(command.materials(words or [], json, materials))


class Equal(StrEnum):
    """What panels are made equal in."""

    STIFFNESS = "stiffness"
    STRENGTH = "strength"
    MASS = "mass"
    THICKNESS = "thickness"
    COST = "cost"


class Level(StrEnum):
    """The level of strength that is made equal."""

    FIRST = "first"
    ULTIMATE = "ultimate"


class Part(StrEnum):
    """The part that grows or shrinks."""

    CORE = "core"
    FACES = "faces"
    ALL = "all"


@app.command(short_help="Several panels on equal terms, and why they differ.")
def lineup(
    panels: Annotated[
        list[str],
        typer.Argument(
            help="Panel files, numbers of the shelf (P-0007, a piece S-0012), shop words, known "
            'solids such as "3 mm steel", a piece as "roof.toml + readings.csv", a variant as '
            '"roof.toml with layer 2 thickness = 20 mm"; 2 to 8, the first is what the others are '
            "made equal to."
        ),
    ],
    equal: Annotated[
        Equal | None,
        typer.Option(
            metavar="WHAT", help="Make them equal in stiffness, strength, mass, thickness or cost."
        ),
    ] = None,
    keep: Annotated[
        bool, typer.Option("--keep", help="Make each as thick as just keeps its --duty.")
    ] = False,
    along: Annotated[bool, typer.Option("--along", help="Stiffness or strength along.")] = False,
    across: Annotated[bool, typer.Option("--across", help="The same across.")] = False,
    level: Annotated[
        Level, typer.Option(help="Equal strength at first damage, or at the end.")
    ] = Level.FIRST,
    scale: Annotated[
        Part | None,
        typer.Option(help="What grows or shrinks; the core where there is one, if not said."),
    ] = None,
    whole: Annotated[
        bool, typer.Option("--whole", help="Whole plies, and sheets as they are sold.")
    ] = False,
    duty: Annotated[
        list[str] | None,
        typer.Option(
            metavar="DUTY",
            help="What each must bear: a file with a [[duty]], shop words such as "
            '"kneel on it, 600 mm x 310 mm, span/100", or own, the duties of the panels.',
        ),
    ] = None,
    price: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PRICE",
            help='Your price of a material: "PET foam 110 kg/m3 = 12.50 EUR/kg", per kg, m2 or '
            "m3; once for each. Those of the shelf count too.",
        ),
    ] = None,
    full: Annotated[
        bool, typer.Option("--full", help="Also each material beside its handbook.")
    ] = False,
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    csv: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write a sheet; never over another file.")
    ] = None,
    bars: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw bars with their ranges as SVG.")
    ] = None,
    shares: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw what each layer gives, as SVG.")
    ] = None,
    merit: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Draw one property against another as SVG; see --axes."),
    ] = None,
    axes: Annotated[
        str, typer.Option(help="Two rows for --merit, by their names in --json.")
    ] = "areal_mass,stiffness_along",
    units: Annotated[System, typer.Option(help="Units to show.")] = System.SI,
    shelf: shelf.Where = "",
    materials: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own materials, beside the catalogue.")
    ] = None,
) -> None:
    """Line panels up, as they are or on equal terms: who is best at what, and why they differ.

    Prices are your own: those given here, and of the shelf that is named.
    """
    from panelwright.cli import lineup as command

    terms = command.terms_of(
        equal.value if equal else "",
        keep,
        along,
        across,
        level.value,
        scale.value if scale else "",
        whole,
    )
    wanted = command.Wanted(panels, terms, duty or [], price or [], full, json, units.value)
    files = command.Files(csv, bars, shares, merit, axes)
    typer.echo(command.lineup(wanted, shelf, files, materials))


@app.command(short_help="A sheet to hang beside a panel or piece, in big type.")
def card(
    panels: Annotated[
        list[str],
        typer.Argument(help="As for a line-up: files, numbers, words, known solids; a sheet each."),
    ],
    pdf: Annotated[Path, typer.Option(metavar="FILE", help="Where to; never over another file.")],
    hide: Annotated[
        bool, typer.Option("--hide", help="Leave numbers and reason to be guessed.")
    ] = False,
    paper: Annotated[PageSize, typer.Option(help="Size of the sheets.")] = PageSize.A4,
    units: Annotated[System, typer.Option(help="Units to show.")] = System.SI,
    shelf: shelf.Where = "",
    materials: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own materials, beside the catalogue.")
    ] = None,
) -> None:
    """A sheet (PDF) for each: its name, section, three numbers, one sentence why.

    Of a piece the numbers that were measured stand in place of those predicted.
    """
    from panelwright.cli import lineup as command

    wanted = command.Cards(panels, pdf, hide, paper.value, units.value)
    typer.echo(command.card(wanted, shelf, materials))


class Written(StrEnum):
    """What a schema is wanted of."""

    PANEL = "panel"
    PREDICTION = "prediction"
    PART = "part"
    BUILD = "build"
    CHECK = "check"


@app.command()
def schema(
    of: Annotated[
        Written, typer.Argument(help="Of a panel or part file, or of what --json gives.")
    ] = Written.PANEL,
) -> None:
    """The JSON Schema of a panel or part file, of a prediction, a build or a check."""
    from panelwright.cli import predict as command

    typer.echo(command.schema(of.value))


@app.command(short_help="Readings of a piece: weighed, gauged, burnt off.")
def measure(
    number: Annotated[
        str,
        typer.Argument(help="A piece such as S-0012, or a panel such as P-0007 for a new piece."),
    ] = "",
    readings: Annotated[
        list[str] | None,
        typer.Argument(help='Such as mass="413.8 g by 0.1 g", thickness@A1=31.68.'),
    ] = None,
    file: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="A CSV or XLSX file: reading, at, value, unit."),
    ] = None,
    paste: Annotated[
        bool, typer.Option("--paste", help="A table from standard input, as a sheet copies it.")
    ] = False,
    reason: Annotated[
        str, typer.Option(help="Why these readings take the place of those before them.")
    ] = "",
    date: Annotated[str, typer.Option(help="The day, such as 2026-11-25.")] = "",
    remark: Annotated[str, typer.Option(help="What to remember.")] = "",
    who: Annotated[str, typer.Option(help="Who read it.")] = "",
    again: Annotated[str, typer.Option(help="Build it so again: yes, with changes, no.")] = "",
    improve: Annotated[str, typer.Option(help="What to change the next time.")] = "",
    title: Annotated[str, typer.Option(help="What the piece is called.")] = "",
    cut_from: Annotated[
        str, typer.Option(metavar="NUMBER", help="A new piece cut from this one.")
    ] = "",
    cut_at: Annotated[str, typer.Option(help="Where in it.")] = "",
    place: Annotated[str, typer.Option(help="Where the piece lies.")] = "",
    left: Annotated[str, typer.Option(help="What is left of it untested.")] = "",
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    units: Annotated[System, typer.Option(help="Units to show.")] = System.SI,
    where: shelf.Where = "",
) -> None:
    """Keep readings of a piece and tell what they come to. Alone: what to read, in what order."""
    from panelwright.cli import measure as command

    wanted = command.Wanted(
        number,
        readings or [],
        file,
        paste,
        reason,
        date,
        remark,
        who,
        again,
        improve,
        title,
        cut_from,
        cut_at,
        place,
        left,
        json,
        units.value,
        where,
    )
    typer.echo(command.measure(wanted))


@app.command(short_help="A piece against its prediction, and why they differ.")
def reconcile(
    number: Annotated[str, typer.Argument(help="A piece, such as S-0012.")],
    full: Annotated[
        bool, typer.Option("--full", help="Every finding, with what makes it unsure.")
    ] = False,
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    sheet: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Its datasheet as PDF: photo, section, verdict."),
    ] = None,
    paper: Annotated[PageSize, typer.Option(help="Paper of the datasheet.")] = PageSize.A4,
    units: Annotated[System, typer.Option(help="Units to show.")] = System.SI,
    where: shelf.Where = "",
) -> None:
    """What was predicted against what was found; exit code 1 where it lies outside the range."""
    from panelwright.cli import measure as command

    if sheet is not None:
        typer.echo(command.sheet(number, sheet, paper.value, units.value, where))
        return
    text, agrees = command.reconcile(number, full, json, units.value, where)
    typer.echo(text)
    if not agrees:
        raise typer.Exit(1)


@app.command(short_help="What your own pieces taught: fibre fraction, soak, core, waste, hours.")
def house(
    word: Annotated[str, typer.Argument(help="off, on or reset; nothing to show them.")] = "",
    key: Annotated[str, typer.Argument(help="Which value, by its key; or all.")] = "",
    remark: Annotated[str, typer.Option(help="Why.")] = "",
    export: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write them as CSV; never over another.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="For machines, in SI units.")] = False,
    where: shelf.Where = "",
) -> None:
    """The values that the next prediction takes from your pieces in place of the book's."""
    from panelwright.cli import measure as command

    typer.echo(command.house(word, key, remark, json, export, where))


app.add_typer(shelf.app)


@app.command(short_help="Open the workshop in the browser.")
def serve(
    port: Annotated[int, typer.Option(min=1, max=65000, help="Where it listens.")] = 8377,
    where: shelf.Where = "",
    network: Annotated[
        bool, typer.Option("--network", help="Also for others on the network; asks a passphrase.")
    ] = False,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the browser where there is one.")
    ] = True,
) -> None:
    """Open the workshop: pages over the shelf, for this machine or for the shop's network."""
    from panelwright.cli import serve as command

    command.serve(where, port, network, browser)


def run() -> None:
    """Run the command line; no traceback for anything that is refused on purpose."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        app()
    except PanelwrightError as refused:
        for problem in refused.problems:
            typer.echo(problem.sentence(), err=True)
        raise SystemExit(2) from None
    except BrokenPipeError:
        raise SystemExit(0) from None
    except OSError as wrong:  # a full disk behind standard output
        typer.echo(f"The answer cannot be written: {wrong.strerror}.", err=True)
        raise SystemExit(2) from None
