// Tables that can be sorted by a column and filtered by words. Without it the page is whole all the same.
"use strict";
for (const table of document.querySelectorAll("table.live")) {
  const body = table.tBodies[0];
  const rows = Array.from(body.rows);
  const heads = Array.from(table.tHead.rows[0].cells);
  const key = (row, column) => {
    const cell = row.cells[column];
    return cell.dataset.value === undefined ? cell.textContent : Number(cell.dataset.value);
  };
  heads.forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      const first = head.classList.contains("number") ? "descending" : "ascending";
      const other = first === "ascending" ? "descending" : "ascending";
      const order = head.getAttribute("aria-sort") === first ? other : first;
      heads.forEach((each) => each.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", order);
      const sign = order === "ascending" ? 1 : -1;
      const compare = new Intl.Collator(document.documentElement.lang, { numeric: true }).compare;
      rows.sort((a, b) => {
        const x = key(a, column), y = key(b, column);
        return sign * (typeof x === "number" ? x - y : compare(x, y));
      });
      body.append(...rows);
    });
  });
  const label = document.createElement("label");
  label.className = "filter";
  label.textContent = "Show rows with";
  const input = document.createElement("input");
  input.type = "search";
  const shown = document.createElement("span");
  shown.className = "shown";
  shown.setAttribute("role", "status");
  label.append(input, shown);
  table.closest(".scroll").before(label);
  const filter = () => {
    const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
    let count = 0;
    for (const row of rows) {
      const text = row.textContent.toLowerCase();
      row.hidden = !words.every((word) => text.includes(word));
      count += row.hidden ? 0 : 1;
    }
    shown.textContent = `${count} of ${rows.length}`;
  };
  input.addEventListener("input", filter);
  filter();
}
