// The page: choices, the address that keeps them, paper.
let telling = 0, keeping = 0;

// tell says a sentence to people who listen to the page, once it has settled.
function tell(words) {
  clearTimeout(telling);
  telling = setTimeout(() => { document.getElementById("say").textContent = words; }, 400);
}

// keep writes the choices into the address, so that it can be sent:
// units.line.way.place.raises in nanometres
function keep() {
  clearTimeout(keeping);
  keeping = setTimeout(writeAddress, 150);
}

function writeAddress() {
  const way = [...document.getElementById("way").options].findIndex((o) => o.value === state.way);
  const moves = raises.map((r) => Number((r * 1e9).toFixed(3))).join("_");
  history.replaceState(null, "", "#s=" + [state.units, state.line, Math.max(0, way), place, step, moves].join("~"));
}

function readAddress() {
  const found = location.hash.match(/^#s=(metric|inch)~(ends|least|zone)~(\d+)~(\d+)~(-?\d+)~([-\d._e]*)$/);
  if (!found) return;
  const option = document.getElementById("way").options[Number(found[3])];
  Object.assign(state, { units: found[1], line: found[2], way: option ? option.value : "" });
  place = Number(found[4]);
  step = Math.min(Number(found[5]), plan.length);
  const moves = found[6].split("_").map((v) => Number(v) / 1e9);
  if (moves.length === raises.length && moves.every((v) => Number.isFinite(v) && Math.abs(v) < 0.1)) raises = moves;
}

// show makes everything follow the choices.
function show() {
  for (const r of document.querySelectorAll("[name=units]")) r.checked = r.value === state.units;
  for (const r of document.querySelectorAll("[name=line]")) r.checked = r.value === state.line;
  document.getElementById("way").value = state.way;
  for (const e of document.querySelectorAll("tr[data-way], figure[data-way]")) e.hidden = state.way !== "" && e.dataset.way !== state.way;
  reprint(document);
  relabel();
  goTo(place);
  answer(false);
  drawSoon();
  document.querySelectorAll("details.behind[open]").forEach(behind);
}

function listen() {
  const choose = (key) => (e) => { state[key] = e.target.value; show(); keep(); };
  document.querySelectorAll("[name=units]").forEach((r) => r.addEventListener("change", choose("units")));
  document.querySelectorAll("[name=line]").forEach((r) => r.addEventListener("change", choose("line")));
  document.getElementById("way").addEventListener("change", choose("way"));
  document.querySelectorAll("details.behind").forEach((d) => d.addEventListener("toggle", () => behind(d)));
  // Section links leave the address alone: it holds the choices.
  document.querySelectorAll("a[href^='#']").forEach((a) => a.addEventListener("click", (e) => {
    e.preventDefault();
    const to = document.querySelector(a.getAttribute("href"));
    to?.scrollIntoView();
    to?.focus({ preventScroll: true });
  }));
  addEventListener("hashchange", () => { readAddress(); show(); });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", drawSoon);
  let resizing = 0;
  addEventListener("resize", () => { clearTimeout(resizing); resizing = setTimeout(() => { if (!root.classList.contains("paper")) drawSoon(); }, 120); });
}

// Paper is light, and as wide as what A4 and Letter have in common.
function listenPrint() {
  addEventListener("beforeprint", () => { root.classList.add("paper"); if (!root.classList.contains("sheet-only")) drawAll(640); });
  addEventListener("afterprint", () => { root.classList.remove("paper", "sheet-only"); drawSoon(); });
  document.getElementById("print-sheet")?.addEventListener("click", () => { root.classList.add("sheet-only"); print(); });
}

// What a person at the console, or a test, may ask.
window.footwork = Object.freeze({
  raised: (moves, other) => raised(other ?? trial, moves),
  about: (line, x, y) => { const [c, slope] = lines[line](x, y); return y.map((v, i) => v - c - slope * x[i]); },
  text: (units, kind, v, signed, fine) => { const was = state.units; state.units = units; const s = text(kind, v, signed, fine); state.units = was; return s; },
  chart: (id) => { if (stale.delete(id)) draw(id); return drawn.get(id)?.getOption(); },
  moves: () => [...raises],
});

startJourney();
readAddress();
startTrial();
listen();
listenPrint();

let started = false;

function start() {
  if (started) return;
  started = true;
  show();
  root.dataset.ready = "yes";
  performance.mark("ready");
}

// The page is painted before it is worked on; where nothing is painted, it goes on.
requestAnimationFrame(() => setTimeout(start));
setTimeout(start, 300);
