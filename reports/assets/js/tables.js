// The numbers behind each chart, as tables that are made when they are opened.
function cellOf(row, tag, words) {
  const cell = document.createElement(tag);
  cell.textContent = words;
  if (tag === "th") cell.scope = row.parentNode?.tagName === "THEAD" ? "col" : "row";
  row.append(cell);
}

// groups gathers the series that share their stations into one table.
function groups(spec) {
  const by = new Map();
  spec.notes.forEach((note, k) => {
    if (hidden(note)) return;
    const pts = points(spec, k), key = (note.panel ?? 0) * (spec.same ? 0 : 1) + ":" + pts.map((p) => p[0]).join();
    if (!by.has(key)) by.set(key, []);
    by.get(key).push({ k, note, pts, name: spec.option.series[k].name ?? "" });
  });
  return [...by.values()];
}

function behind(fold) {
  fold.querySelectorAll(".scroll").forEach((e) => e.remove());
  const spec = specs[fold.dataset.of];
  if (!fold.open || !spec) return;
  const caption = fold.parentElement.querySelector("figcaption").textContent;
  for (const [i, group] of groups(spec).entries()) {
    const axisX = spec.x[group[0].note.panel ?? 0], box = document.createElement("div"), table = document.createElement("table");
    box.className = "scroll"; box.tabIndex = 0; box.setAttribute("role", "region");
    box.setAttribute("aria-label", `Numbers ${i + 1} of: ${caption}`);
    const head = table.createTHead().insertRow(), body = table.createTBody();
    cellOf(head, "th", nameOf(axisX));
    for (const g of group) {
      cellOf(head, "th", g.name + ": " + nameOf(spec.y[g.note.panel ?? 0]));
      if (g.note.sigma) cellOf(head, "th", "± (95 %)");
    }
    group[0].pts.forEach((p, i) => {
      const row = body.insertRow();
      cellOf(row, "th", bareFigure(axisX, p[0]));
      for (const g of group) {
        cellOf(row, "td", bareFigure(spec.y[g.note.panel ?? 0], g.pts[i][1]));
        if (g.note.sigma) cellOf(row, "td", bareFigure(spec.y[g.note.panel ?? 0], g.pts[i][2]));
      }
    });
    box.append(table);
    fold.append(box);
  }
}

const bareFigure = (axis, v) => axis.kind ? digits(axis.kind, v * unitOf(axis.kind).one) : axis.unit ? v.toFixed(2) : String(v);
