// Numbers for people, from the table that the program prints with.
const read = (name) => JSON.parse(document.getElementById("data-" + name).textContent);
const kinds = read("kinds");
const root = document.documentElement;
const state = { units: root.dataset.units, line: "zone", way: "" };

const unitOf = (kind) => kinds[kind][state.units];

// digits returns v (SI) in figures, with a true minus and never "−0"; one that
// is fine gets up to three decimals more rather than print as nothing.
function digits(kind, v, signed, fine) {
  const u = unitOf(kind);
  let more = 0;
  while (fine && more < 3 && v !== 0 && !/[1-9]/.test((v / u.one).toFixed(u.digits + more))) more++;
  if (more && !/[1-9]/.test((v / u.one).toFixed(u.digits + more))) more = 0;
  let s = (v / u.one).toFixed(u.digits + more);
  if (u.trim && s.includes(".")) s = s.replace(/\.?0+$/, "");
  const size = s.replace(/^-/, "");
  if (/^[0.]*$/.test(size)) return size;
  if (size !== s) return "−" + size;
  return signed ? "+" + s : s;
}

// text returns v with its unit.
function text(kind, v, signed, fine) {
  const u = unitOf(kind).unit;
  return digits(kind, v, signed, fine) + (u === "" || u === "°" ? u : "\u00a0" + u);
}

// reprint writes every number of the page anew.
function reprint(within) {
  root.dataset.units = state.units;
  for (const e of within.querySelectorAll("[data-k]")) {
    const d = e.dataset;
    const v = Number(d[state.line] ?? d.v);
    e.textContent = (d.bare ? digits : text)(d.k, v, d.signed, d.fine);
  }
  for (const e of within.querySelectorAll("[data-unit]")) e.textContent = unitOf(e.dataset.unit).unit;
}
