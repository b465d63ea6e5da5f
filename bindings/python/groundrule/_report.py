"""The report on an audit: one HTML page that holds all that it shows, to be read, printed and handed on."""

import os
from collections.abc import Iterable, Mapping, Sequence
from html import escape
from importlib.resources import files
from typing import Any

from groundrule import _plots
from groundrule._core import version
from groundrule._impact import CHANGES, Impact
from groundrule._output import written_whole

_PROBLEMS_SHOWN = 200
_HEADS = {"no_verdict": "no verdict (facts can't be)", "decisions": "verdicts kept open"}

Rows = Sequence[Mapping[str, Any]]


def _cell(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, int):
        text = ", ".join(map(str, value)) if isinstance(value, (list, tuple)) else str(value)
        return f"<td>{escape(text.replace('_', ' ') if text in _PLAIN else text)}</td>"
    return f'<td class="number" data-value="{value}">{value:,}</td>'


_PLAIN = {"not_applicable", "no_verdict", "not_encoded", "no_value", "look_up"}


def _table(caption: str, rows: Rows, columns: Sequence[str], live: bool = True) -> str:
    if not rows:
        return f'<p class="quiet">{escape(caption)}: none.</p>'
    heads = []
    for name in columns:
        number = ' class="number"' if type(rows[0][name]) is int else ""
        heads.append(f'<th scope="col"{number}>{escape(_HEADS.get(name, name.replace("_", " ")))}</th>')
    body = "\n".join(f"<tr>{''.join(_cell(row[name]) for name in columns)}</tr>" for row in rows)
    kind = ' class="live"' if live else ""
    return (
        f'<div class="scroll" tabindex="0" role="region" aria-label="{escape(caption, quote=True)}">'
        f"<table{kind}><caption>{escape(caption)}</caption><thead><tr>{''.join(heads)}</tr></thead>"
        f"<tbody>{body}</tbody></table></div>"
    )


def _plot(figure: Any, label: str) -> str:
    return f"<figure>{_plots.svg(figure, label)}</figure>"


def _figures(entries: Iterable[tuple[str, str, int]]) -> str:
    cells = (f'<div class="{k}"><dt>{escape(t)}</dt><dd>{n:,}</dd></div>' for k, t, n in entries)
    return f'<dl class="figures">{"".join(cells)}</dl>'


def _summary(audit: Any, basis: Mapping[str, Any]) -> str:
    (rows,) = audit.row_counts().to_pylist()
    figures = _figures(
        [
            ("rows", f"rows ({basis['item']})", rows["rows"]),
            ("violates", "violate a rule", rows["violates"]),
            ("open", "stay open", rows["undetermined"]),
            ("complies", "comply, nothing open", rows["complies"]),
            ("scope", "no rule applies", rows["not_applicable"]),
            ("no_verdict", "can't be read", rows["no_verdict"]),
        ]
    )
    return (
        figures + "<p>A row violates if it breaks any rule that counts. It stays open if none is"
        " broken and at least one turns on a fact that the table does not tell: open is not passed.</p>"
    )


def _clauses(audit: Any) -> str:
    rows = [r for r in audit.counts().to_pylist() if r["violates"] or r["undetermined"] or r["complies"]]
    rows.sort(key=lambda row: (-row["violates"], -row["undetermined"]))
    columns = ("citation", "title", "force", "violates", "undetermined", "complies", "not_applicable")
    plot = _plot(_plots.clauses(audit), "Bars: the clauses that are violated most; the table has all")
    return plot + _table("Verdicts by clause", rows, columns)


def _groups(audit: Any, labels: Sequence[str]) -> str:
    parts = []
    for label in labels:
        rows = audit.row_counts(label).to_pylist()
        columns = (label, "rows", "violates", "undetermined", "complies", "no_verdict")
        parts.append(_plot(_plots.groups(audit, label), f"Bars: rows that violate, by {label}"))
        parts.append(_table(f"Rows by {label}", rows, columns))
    return "".join(parts)


def _missing(audit: Any) -> str:
    rows = audit.missing().to_pylist()
    columns = ("fact", "question", "kind", "column", "decisions", "alone")
    plot = _plot(_plots.missing(audit), "Bars: the facts that keep most verdicts open")
    return plot + _table("What to find out, most useful first", rows, columns)


def _problems(audit: Any) -> str:
    if not audit.problem_count:
        return "<p>Every cell that was looked at could be read.</p>"
    by_column = [
        {"column": name or "(facts that contradict each other)", "problems": count}
        for name, count in sorted(audit.problem_counts.items(), key=lambda pair: -pair[1])
    ]
    shown = audit.first_problems[:_PROBLEMS_SHOWN]
    rows = [{"row": p.row, "column": p.column, "value": p.value, "cause": p.cause} for p in shown]
    more = f"; the first {len(shown):,} of {audit.problem_count:,}" if len(shown) < audit.problem_count else ""
    return (
        "<p>Rows with a cell that can't be read have no verdicts; the others are audited.</p>"
        + _table("Problems by column", by_column, ("column", "problems"), live=False)
        + _table(f"Problems, by row from 0{more}", rows, ("row", "column", "value", "cause"))
    )


def _impact(impact: Impact) -> str:
    (total,) = impact.by_row().to_pylist()
    before, after = impact.before.book, impact.after.book
    parts = [
        f"<p>From <strong>{escape(before.name)}</strong> to <strong>{escape(after.name)}</strong>,"
        f" digests <code>{before.digest}</code> and <code>{after.digest}</code>.</p>",
        _figures([("violates" if n == "newly_failing" else n, f"rows {n.replace('_', ' ')}", total[n]) for n in CHANGES]),
        _plot(_plots.impact(impact), "Bars: what changes, by clause; the table has all"),
        _table("Changed verdicts by clause", impact.by_clause().to_pylist(), ("citation", "title", *CHANGES)),
    ]
    for label in impact.labels:
        rows = impact.by_row(label).to_pylist()
        columns = (label, "rows", "fail_before", "fail_after", *CHANGES)
        parts.append(_plot(_plots.impact(impact, label), f"Bars: what changes for rows, by {label}"))
        parts.append(_table(f"Changed rows by {label}", rows, columns))
    return "".join(parts)


def _basis(basis: Mapping[str, Any]) -> str:
    book = basis["book"]
    told = {
        "Book": f"{book['name']} — {'; '.join(layer['title'] for layer in book['layers'])}",
        "Digest of what the book means": book["digest"],
        "Table": f"{basis['table']}, {basis['rows']:,} rows",
        "Stage of work": basis["stage"] or "all",
        "Lists that the table holds whole": ", ".join(basis["complete"]) or "none: every list is open",
        "Assumed in every row": ", ".join(f"{k} = {v}" for k, v in basis["assumed"].items()) or "nothing",
        "Columns not used": ", ".join(basis["columns_left_out"]) or "none",
        "Rules that such rows can meet": f"{basis['rules_here']} of {basis['rules']} encoded",
        "Made by": f"groundrule {version()}",
    }
    rows = "".join(f'<tr><th scope="row">{escape(k)}</th><td>{escape(v)}</td></tr>' for k, v in told.items())
    gaps = [{"citation": g["citation"], "about": g["says"]} for g in basis["not_encoded"]]
    return f"<table><tbody>{rows}</tbody></table>" + _table(
        "Clauses that are not encoded: neither passed nor failed here", gaps, ("citation", "about")
    )


def page(audit: Any, title: str, impact: Impact | None = None, note: str = "") -> str:
    """The whole page. note: a sentence or two of the sender's, such as where the data come from."""
    basis = audit.basis()
    labels = list(audit.groups)
    sections = [("Summary", _summary(audit, basis))]
    if impact is not None:
        sections.append(("What would change", _impact(impact)))
    sections.append(("By clause", _clauses(audit)))
    if labels:
        sections.append((f"By {' and '.join(labels)}", _groups(audit, labels)))
    sections += [
        ("What is missing", _missing(audit)),
        ("Cells that can't be read", _problems(audit)),
        ("What this rests on", _basis(basis)),
        ("Cautions", f"<ul>{''.join(f'<li>{escape(c)}</li>' for c in basis['cautions'])}</ul>"),
    ]
    links = "".join(f'<li><a href="#s{i}">{escape(name)}</a></li>' for i, (name, _) in enumerate(sections))
    body = "\n".join(
        f'<section id="s{i}" aria-labelledby="h{i}"><h2 id="h{i}">{escape(name)}</h2>{text}</section>'
        for i, (name, text) in enumerate(sections)
    )
    style, script = (files("groundrule").joinpath(f"report.{kind}").read_text("utf-8") for kind in ("css", "js"))
    told = f"<p>{escape(note)}</p>" if note else ""
    return f"""<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(title)}</title><style>{style}</style></head><body>
<header><h1>{escape(title)}</h1><p class="quiet">{escape(basis["book"]["name"])}, digest
<code>{basis["book"]["digest"]}</code></p>{told}</header>
<p class="note">{escape(basis["cautions"][0])}</p>
<nav aria-label="Sections"><ul>{links}</ul></nav>
<main>{body}</main><script>{script}</script></body></html>
"""


def write_page(
    path: str | os.PathLike[str], audit: Any, title: str, impact: Impact | None = None, note: str = ""
) -> None:
    """Writes the page, whole or not at all."""
    text = page(audit, title, impact, note)
    with written_whole(path) as part:
        part.write_text(text, encoding="utf-8")
