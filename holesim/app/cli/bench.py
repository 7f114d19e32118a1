"""`holesim bench`: how fast and how accurate the kernels are."""

import json
from pathlib import Path
from typing import Annotated

import typer

from holesim.app.cli.feedback import compiling, tell


def bench(
    *,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="Write bench.json and two pictures here.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print bench.json instead of the table.")] = False,
) -> None:
    """Measure speed and accuracy against general-purpose code.

    It takes some minutes.
    """
    from holesim.bench.bench import bench_text, make_bench  # noqa: PLC0415
    from holesim.bench.bench_picture import write_bench  # noqa: PLC0415
    from holesim.common.safe_files import check_folder  # noqa: PLC0415

    if out is not None:
        check_folder(out)
    with compiling():
        measured = make_bench(progress=lambda part: tell(f"measuring {part}", err=True))
    if out is not None:
        written = write_bench(measured, out)
        tell(f"wrote {len(written)} files to {out}", err=True)
    content = json.dumps(measured.to_dict(), indent=1, ensure_ascii=False)
    tell(content if as_json else bench_text(measured))
