// The table's journey: one slider moves the table along the bed.
const journey = read("travel");
let place = 0;

function goTo(k) {
  if (!journey || !specs["place-at"]) return;
  place = Math.max(0, Math.min(journey.table_at.length - 1, k));
  const at = journey.table_at[place], spec = specs["place-at"];
  const reach = [journey.x[0], journey.x[journey.x.length - 1]];
  spec.data = journey.ways.map((w) => journey.x.map((x, i) => [x, w.height[place][i]]));
  if (journey.pressure?.length) spec.data.push(journey.pressure_x.map((x, i) => [x + at, journey.pressure[place][i]]).filter((p) => p[0] >= reach[0] && p[0] <= reach[1]));
  marks["place-at"] = journey.length > 0 ? { from: Math.max(at, reach[0]), to: Math.min(at + journey.length, reach[1]) } : {};
  marks.journey = marks["journey-loads"] = { at };
  for (const id of ["place-at", "journey", "journey-loads"]) redraw(id);
  const out = document.getElementById("table-at-out"), slider = document.getElementById("table-at");
  out.textContent = text("along", at);
  slider.value = place;
  slider.setAttribute("aria-valuetext", text("along", at));
}

function startJourney() {
  const slider = document.getElementById("table-at");
  if (!slider || !journey) return;
  slider.max = journey.table_at.length - 1;
  place = Math.floor(journey.table_at.length / 2);
  slider.addEventListener("input", () => { goTo(Number(slider.value)); keep(); });
}
