"""The order of a review: a round compared with its plan, as `holesim review` does it."""

from typing import Any

from holesim.window.folder import Folder
from holesim.window.orders import Order, Progress, encode_pictures
from holesim.window.rounds.played import learnt_note


class ReviewOrder(Order):
    """A round to compare with its plan, and the golfer's file that may learn from it."""

    plan: str
    played: str
    player: str | None = None

    def check(self, folder: Folder) -> None:
        """Raise an InputError if a file is missing."""
        for name in (self.plan, self.played, self.player):
            if name is not None:
                folder.check_there(name)

    def answer(self, folder: Folder, progress: Progress) -> dict[str, Any]:
        """Return what the round teaches, and the golfer's file as it would learn from it."""
        from holesim.common.safe_files import json_text  # noqa: PLC0415
        from holesim.pictures.review_picture import save_review  # noqa: PLC0415 - matplotlib takes a second
        from holesim.plan.explain import CAUTIONS  # noqa: PLC0415
        from holesim.reports import review_text as words  # noqa: PLC0415
        from holesim.study.review_files import review_files  # noqa: PLC0415

        progress(0, 2)
        seen = None if self.player is None else folder.read(self.player)[1]
        player = None if self.player is None else folder.path(self.player)
        found, learnt = review_files(folder.path(self.plan), folder.path(self.played), player)
        progress(1, 2)
        pictures = encode_pictures(lambda place: save_review(found, place))
        progress(2, 2)
        return {
            "text": words.review_text(found),
            "json": json_text(found.to_dict()),
            "title": words.review_title(found),
            "sentences": words.review_sentences(found),
            "counts": [
                {
                    "name": count.name,
                    "planned": f"{count.expected:.1f}",
                    "span": f"{count.low} to {count.high}",
                    "played": count.observed,
                    "verdict": words.verdict(count.chance),
                }
                for count in found.counts
            ],
            "unplanned": [str(drive) for drive in found.played.unplanned],
            "note": words.NOTE,
            "caution": CAUTIONS[0],
            "pictures": pictures,
            "player": self.player,
            "seen": seen,
            "learnt": learnt,
            "not_learnt": None if learnt is not None or player is None else words.NOT_LEARNT,
            "learnt_before": learnt_note(folder, self.played),
        }
