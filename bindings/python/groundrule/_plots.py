"""Plots of an audit and of an impact, as matplotlib figures: bars with their figures beside them, readable
without colour and in print. Needs matplotlib: pip install 'groundrule[plots]'."""

import io
import re
from collections.abc import Mapping, Sequence
from typing import Any

INK = "#22303c"
COLOURS = {
    "violates": "#a33b20",
    "undetermined": "#c9a24a",
    "complies": "#3f7f6b",
    "no_verdict": "#8c8c8c",
    "newly_failing": "#a33b20",
    "newly_passing": "#3f7f6b",
    "newly_undetermined": "#c9a24a",
}
MOST_BARS = 20


def _figure(bars: int) -> Any:
    try:
        from matplotlib.figure import Figure
    except ImportError:
        raise ImportError("plots need matplotlib: pip install 'groundrule[plots]'") from None
    figure = Figure(figsize=(8.5, 0.9 + 0.3 * max(bars, 1)), layout="constrained")
    axes = figure.add_subplot()
    axes.spines[["top", "right", "left"]].set_visible(False)
    axes.tick_params(colors=INK, length=0)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    axes.grid(axis="x", color="#d9dde0", linewidth=0.8)
    axes.set_axisbelow(True)
    return figure


def _bars(names: Sequence[str], values: Mapping[str, Sequence[int]], what: str) -> Any:
    """Horizontal bars, the first name on top; several kinds of values stand beside each other."""
    names = list(names)[:MOST_BARS]
    kinds = [kind for kind, counts in values.items() if any(counts[: len(names)])] or list(values)[:1]
    figure = _figure(len(names) * max(1, len(kinds) * 2 // 3))
    axes = figure.axes[0]
    height = 0.8 / len(kinds)
    for place, kind in enumerate(kinds):
        at = [index + (place - (len(kinds) - 1) / 2) * height for index in range(len(names))]
        drawn = axes.barh(
            at, values[kind][: len(names)], height * 0.92, label=kind.replace("_", " "),
            color=COLOURS.get(kind, "#44697d"),
        )  # fmt: skip
        labels = [f"{count:,}" if count or len(kinds) == 1 else "" for count in values[kind][: len(names)]]
        axes.bar_label(drawn, labels, padding=3, color=INK, fontsize=8)
    axes.set_yticks(range(len(names)), names, color=INK)
    axes.set_ylim(len(names) - 0.4, -0.6)
    axes.margins(x=0.1)
    axes.set_xlabel(what, color=INK)
    if len(kinds) > 1:
        figure.legend(frameon=False, loc="outside upper left", ncols=len(kinds), labelcolor=INK)
    return figure


def _top(rows: Sequence[Mapping[str, Any]], by: str) -> list[Mapping[str, Any]]:
    return sorted((row for row in rows if row[by]), key=lambda row: -row[by])[:MOST_BARS]


def clauses(audit: Any) -> Any:
    """The rules that are violated most."""
    rows = _top([row for row in audit.counts().to_pylist() if row["force"] == "shall"], "violates")
    names = [f"{row['citation']}  {_short(row['title'])}" for row in rows]
    return _bars(names, {"violates": [row["violates"] for row in rows]}, "verdicts that violate")


def groups(audit: Any, by: str) -> Any:
    """Rows that violate and rows that stay open, by a group."""
    rows = audit.row_counts(by).to_pylist()
    values = {kind: [row[kind] for row in rows] for kind in ("violates", "undetermined", "no_verdict")}
    return _bars([row[by] for row in rows], values, "rows of the table")


def missing(audit: Any) -> Any:
    """The facts that keep most decisions open."""
    rows = _top([row for row in audit.missing().to_pylist() if row["fact"]], "decisions")
    return _bars([r["fact"] for r in rows], {"undetermined": [r["decisions"] for r in rows]}, "verdicts kept open")


def impact(impact: Any, by: str = "") -> Any:
    """What changes, by clause or by a group."""
    if by:
        rows: list[Mapping[str, Any]] = impact.by_row(by).to_pylist()
        names = [row[by] for row in rows]
        what = "rows of the table"
    else:
        changed = [row for row in impact.by_clause().to_pylist() if row["force"] == "shall"]
        rows = _top(changed, "newly_failing") or _top(changed, "newly_passing")
        names = [f"{row['citation']}  {_short(row['title'])}" for row in rows]
        what = "verdicts"
    kinds = ("newly_failing", "newly_passing", "newly_undetermined")
    return _bars(names, {kind: [row[kind] for row in rows] for kind in kinds}, what)


def _short(title: str) -> str:
    return title if len(title) <= 44 else title[:43] + "…"


def svg(figure: Any, label: str) -> str:
    """The figure as an SVG element to be put into a page, with a name for those who can't see it."""
    from html import escape

    from matplotlib import rc_context

    out = io.StringIO()
    with rc_context({"svg.fonttype": "none", "svg.hashsalt": label, "font.family": "sans-serif"}):
        figure.savefig(out, format="svg", metadata={"Date": None})
    text = out.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r'(<svg[^>]*?) (width|height)="[^"]*"', r"\1", text, count=1)
    return text.replace("<svg", f'<svg role="img" aria-label="{escape(label, quote=True)}"', 1)
