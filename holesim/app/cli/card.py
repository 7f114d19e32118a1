"""`holesim card`: a card, a sheet or a page from a plan file alone."""

from pathlib import Path
from typing import Annotated, Final

import typer

from holesim.app.cli.feedback import tell
from holesim.app.cli.options import Metric, PaperSize
from holesim.errors import InputError
from holesim.handouts.styles import HandoutStyle

_WHERE: Final = {
    "--tipping": (("coach", "page"), "make the coach's sheet or the page"),
    "--practice": (("lesson", "coach"), "make the lesson or the coach's sheet"),
    "--by, --logo, --notes and --date": (("lesson", "coach"), "make the lesson or the coach's sheet"),
}


def card(
    plan: Annotated[list[Path], typer.Argument(metavar="PLAN…", help="A plan.json, or one for each wind.")],
    *,
    style: Annotated[
        HandoutStyle,
        typer.Option("--style", help="For a pocket, a pupil, a coach, or a browser."),
    ],
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="A PDF, or HTML for a browser.")],
    tipping: Annotated[
        list[Path] | None,
        typer.Option("--tipping", metavar="FILE", help="Also say what this tipping.json found; repeat."),
    ] = None,
    practice: Annotated[
        Path | None,
        typer.Option("--practice", metavar="FILE", help="Also say what practice pays: practice --json."),
    ] = None,
    by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who gives the lesson.")] = "",
    logo: Annotated[
        Path | None, typer.Option("--logo", metavar="FILE", help="Their mark, a PNG or a JPEG.")
    ] = None,
    notes: Annotated[
        Path | None, typer.Option("--notes", metavar="FILE", help="Their notes, plain text.")
    ] = None,
    date: Annotated[
        str, typer.Option("--date", metavar="DAY", help="The day of the lesson, as 2026-05-12.")
    ] = "",
    metric: Metric = False,
    paper: PaperSize = "a4",
) -> None:
    """Make a pocket card, a lesson, a coach's sheet or a page from a plan file.

    Nothing is planned again.
    """
    from holesim.common.safe_files import write_file  # noqa: PLC0415
    from holesim.handouts.handout import Extras, write_handout  # noqa: PLC0415
    from holesim.handouts.lesson_head import read_lesson_head  # noqa: PLC0415
    from holesim.plan.plan_file import gather_plans  # noqa: PLC0415
    from holesim.study.break_even_file import load_break_even  # noqa: PLC0415
    from holesim.study.practice_file import load_practice  # noqa: PLC0415

    given = (tipping, practice, by or logo or notes or date)
    for (option, (styles, remedy)), value in zip(_WHERE.items(), given, strict=True):
        if value and style not in styles:
            what = {"pocket": "a pocket card", "lesson": "the lesson", "page": "the page"}[style]
            verb = "have" if " and " in option else "has"
            raise InputError(option, "", f"{verb} no place on {what}", remedy)
    plans = gather_plans(plan)
    found = [load_break_even(path, plans[0]) for path in tipping or ()]
    extras = Extras(
        break_evens=found,
        practice=None if practice is None else load_practice(practice, plans[0]),
        head=read_lesson_head(by=by, logo=logo, notes=notes, day=date),
    )

    def write(folder: Path) -> None:
        write_handout(style, plans, folder / out.name, extras, metric=metric, paper=paper)

    write_file(out, write)
    tell(f"wrote {out}", err=True)
    if style == "lesson" and practice is None:
        how = "holesim practice COURSE PLAYER --json > practice.json, then --practice practice.json"
        tell(f"it does not say what practice would pay; to have it: {how}", err=True)
