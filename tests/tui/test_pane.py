"""A page that changes a little sends little."""

import pytest
from textual.geometry import Region

from fieldlog.pages.lines import Span, line
from fieldlog.tui.widgets.lines import Pane


def test_only_the_cells_that_differ_are_painted_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """From the first to the last change of each row, marks counted, nothing for rows that stay."""
    painted: list[tuple[Region, ...]] = []
    pane = Pane()
    monkeypatch.setattr(pane, "refresh", lambda *regions: painted.append(regions))
    pane.show((line("ball height 300 mm"), line("level"), line("a ", Span("b", "warn"))))
    pane.show((line("ball height 325 mm"), line("level"), line("a ", Span("b"))))
    pane.show((line("ball height 325 mm"), line("level"), line("a ", Span("b"))))
    pane.show((line("ball height 325 mm"),))
    assert painted == [
        (),
        (Region(13, 0, 2, 1), Region(2, 2, 1, 1)),
        (Region(0, 1, 5, 1), Region(0, 2, 3, 1)),
    ]
