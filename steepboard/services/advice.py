"""What past strainings suggest to change, in one or two plain sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from steepboard.domain.figures import percent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from steepboard.services.losses import Group

_MANY = 5  # strainings before a habit is spoken of; assumed
_UNACCOUNTED = 0.04  # of the liquid; twice the 2 % to which a balance should close: common practice
_HELD = 0.60  # of intervals said to hold 80 % of the time; for five and more, assumed low enough


def what_to_change(groups: Sequence[Group]) -> tuple[str, ...]:
    """Return at most two sentences, the largest loss first; none where nothing was strained."""
    if not groups:
        return ()
    said = [_most_lost(groups), _not_closing(groups) or _not_as_expected(groups)]
    return tuple(sentence for sentence in said if sentence)


def in_money(amount: str) -> str:
    """Return in words what marc held."""
    return f"The marc of a year held spirit for {amount}."


def _most_lost(groups: Sequence[Group]) -> str:
    worst = max(groups, key=lambda group: group.marc_share * group.poured_ml)
    if worst.marc_share <= worst.filter_share:
        return (
            f"Most is lost in the filter ({worst.name}, {percent(worst.filter_share, 0)} of its "
            "liquid): let it settle longer and pour the clear off before filtering."
        )
    advice = "press it harder, or rinse it with as much spirit as it holds and taste that apart"
    if worst.all_rinsed:
        advice = "it was rinsed already, so press it harder before the rinse, and after it"
    if worst.held_per_dry_g_ml is None:
        advice = "weigh it once, wet, so that this is measured and not estimated"
    return (
        f"Most is lost in the marc ({worst.name}, {percent(worst.marc_share, 0)} of its liquid): "
        f"{advice}."
    )


def _not_closing(groups: Sequence[Group]) -> str:
    far = [g for g in groups if g.count >= _MANY and abs(g.unaccounted_share) > _UNACCOUNTED]
    if not far:
        return ""
    worst = max(far, key=lambda group: abs(group.unaccounted_share) * group.poured_ml)
    if worst.unaccounted_share < 0:
        return (
            f"More came out than went in ({worst.name}, {percent(-worst.unaccounted_share, 0)}): "
            "check scale and cylinder."
        )
    return (
        f"Much goes nobody knows where ({worst.name}, {percent(worst.unaccounted_share, 0)}): "
        "weigh the closed jar at charging and before straining to see what evaporates."
    )


def _not_as_expected(groups: Sequence[Group]) -> str:
    count, held = sum(g.count for g in groups), sum(g.as_expected for g in groups)
    if count < _MANY or held >= _HELD * count:
        return ""
    short = sum(g.recovered_ml - g.expected_ml for g in groups) < 0
    side = "less" if short else "more"
    return (
        f"Only {held} of {count} bottled as expected, mostly {side}: press each time alike, weigh "
        "the marc so that plans learn what it holds, and give what your filter keeps."
    )
