"""A chart as a file: SVG as it is, PNG through the optional typesetter."""

import tempfile
from pathlib import Path

from gaugewalk.errors import ArgumentError, extra

_DENSITY = 144.0  # pixels per inch of a PNG
_PAGE = (
    "#set page(width: auto, height: auto, margin: 6pt, fill: white)\n"
    '#image("chart.svg", width: 480pt)\n'
)


def write_chart(svg: str, file: Path) -> None:
    """Write a chart to a file that ends in .svg or .png.

    Raises
    ------
    ArgumentError
        Another ending, a folder that does not exist, or PNG without the `pdf` extra.
    """
    ending = file.suffix.lower()
    if ending not in (".svg", ".png"):
        raise ArgumentError(f"plot = {str(file)!r}: expected a name that ends in .svg or .png.")
    data = svg.encode() if ending == ".svg" else png_of(svg)
    try:
        file.write_bytes(data)
    except OSError as problem:
        raise ArgumentError(
            f"plot = {str(file)!r} cannot be written ({problem.strerror}); expected a folder that "
            "exists and may be written to."
        ) from problem


def png_of(svg: str) -> bytes:
    """Return a chart as PNG.

    Raises
    ------
    ArgumentError
        The typesetter is not installed.
    """
    with extra("pdf", "PNG", "write to a .svg file"):
        import typst
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "chart.svg").write_text(svg, "utf-8")
        page = Path(folder) / "chart.typ"
        page.write_text(_PAGE, "utf-8")
        made = typst.compile(page, format="png", ppi=_DENSITY)
    return bytes(made if isinstance(made, bytes) else made[0])
