"""`inlane draw`: a game's statecharts, or an SCXML file's, as pictures, text or SCXML."""

import difflib
from pathlib import Path
from typing import Annotated

import typer

from firmware.base.errors import UsageError
from firmware.charts.model import Region
from hil import games
from hil.reports import diagram, scxml, scxml_write

SCXML = ".scxml"


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(draw)


def draw(
    source: Annotated[str, typer.Argument(help="A game, by name or folder, or an .scxml file.")],
    chart: Annotated[str, typer.Argument(help="One feature's chart; all of them otherwise.")] = "",
    out: Annotated[Path | None, typer.Option(help="A .svg, .mmd, .txt or .scxml file, or a folder.")] = None,
) -> None:
    """Draw statecharts: states are upright lines, transitions arrows in the order of the rows.

    Example: inlane draw honey_flow pollen_run --out pollen_run.svg

    Example: inlane draw honey_flow --out charts/

    Example: inlane draw honey_flow pollen_run --out pollen_run.scxml

    As SCXML several charts make one document, which any SCXML engine with ECMAScript runs once it is
    given functions of the names that the actions and guards have.
    """
    regions = _chosen(_regions(source), chart)
    if out is None:
        for region in regions:
            print(diagram.as_text(diagram.of_region(region)))
    elif out.suffix == SCXML:
        _write_scxml(regions, source, chart, out)
    elif out.suffix:
        _write_one(regions, out)
    else:
        out.mkdir(parents=True, exist_ok=True)
        for region in regions:
            (out / f"{region.name}.svg").write_text(
                diagram.as_svg(diagram.of_region(region)), encoding="utf-8"
            )
        print(f"wrote {len(regions)} charts into {out}")


def _regions(source: str) -> list[Region]:
    path = Path(source)
    if path.suffix == SCXML:
        if not path.is_file():
            raise UsageError(f"there is no file '{source}'")
        return [scxml.read(path).region(None)]
    features = games.load(source).console().play.features
    return [Region(feature.name, feature, feature.chart, feature.states) for feature in features]


def _chosen(regions: list[Region], chart: str) -> list[Region]:
    if not chart:
        return regions
    found = [region for region in regions if region.name == chart]
    if not found:
        names = [region.name for region in regions]
        near = difflib.get_close_matches(chart, names, 1)
        hint = f"did you mean '{near[0]}'?" if near else "there are " + ", ".join(names)
        raise UsageError(f"there is no chart '{chart}'; {hint}")
    return found


def _write_one(regions: list[Region], out: Path) -> None:
    write = diagram.writer_for(out.suffix)
    if len(regions) > 1 and out.suffix == ".svg":
        raise UsageError(
            f"'{out.name}' holds one chart and there are {len(regions)}; name one, or give a folder"
        )
    texts = [write(diagram.of_region(region)) for region in regions]
    out.write_text("\n".join(texts), encoding="utf-8")
    print(f"wrote {out}")


def _write_scxml(regions: list[Region], source: str, chart: str, out: Path) -> None:
    if Path(source).suffix == SCXML:
        raise UsageError(f"'{source}' is SCXML already; it can be drawn as {', '.join(diagram.WRITERS)}")
    name = chart or Path(source).name
    out.write_text(scxml_write.document(regions, name), encoding="utf-8")
    print(f"wrote {out}")
