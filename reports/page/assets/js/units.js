// Numbers for people, from the table that the program prints with.
const data = JSON.parse(document.getElementById("data").textContent);
const root = document.documentElement;
const shown = { units: root.dataset.units, state: root.dataset.state, table: root.dataset.table };

const system = () => shown.units === "inch" ? 1 : 0;
const unitOf = (kind) => data.kinds[kind][system()];

// digits returns v (SI) in figures, with a true minus and never "−0"; one that
// is fine gets up to three decimals more rather than print as nothing.
function digits(kind, v, signed, fine) {
  const u = unitOf(kind), at = (more) => (v / u.one).toFixed(u.digits + more);
  let more = 0;
  while (fine && more < 3 && !/[1-9]/.test(at(more))) more++;
  if (!/[1-9]/.test(at(more))) more = 0;
  let s = at(more);
  if (u.trim && s.includes(".")) s = s.replace(/\.?0+$/, "");
  if (!/[1-9]/.test(s)) return s.replace("-", "");
  return s.startsWith("-") ? "−" + s.slice(1) : signed ? "+" + s : s;
}

// text returns v with its unit.
function text(kind, v, signed, fine) {
  const u = unitOf(kind).unit;
  return digits(kind, v, signed, fine) + (u === "" || u === "°" ? u : "\u00a0" + u);
}

// reprint writes every number and unit of the page anew; readings stay in the
// unit of their instrument.
function reprint() {
  for (const e of document.querySelectorAll("[data-k]")) {
    const d = e.dataset;
    if (d.k === "reading") continue;
    e.textContent = ("b" in d ? digits : text)(d.k, Number(e.value ?? d.v), "s" in d, "f" in d);
  }
  for (const e of document.querySelectorAll("[data-unit]")) e.textContent = unitOf(e.dataset.unit).unit;
}

// typed returns what a hand wrote as a number: a decimal comma, a true minus, a
// fraction ("1 1/2", "-3/4"), minutes and seconds (2'11.9"); NaN for anything else.
function typed(s) {
  s = s.trim().replace(/,/g, ".").replace(/[−–]/g, "-").replace(/^\+/, "");
  const sign = s.startsWith("-") ? -1 : 1, bare = s.replace(/^-\s*/, "");
  let m = /^(\d+)['′]\s*(\d+(?:\.\d+)?)?["″]?$/.exec(bare);
  if (m) return sign * (60 * Number(m[1]) + Number(m[2] ?? 0));
  m = /^(?:(\d+)\s+)?(\d+)\/([1-9]\d*)$/.exec(bare);
  if (m) return sign * (Number(m[1] ?? 0) + m[2] / m[3]);
  return /^(\d+\.?\d*|\.\d+)$/.test(bare) ? sign * Number(bare) : NaN;
}
