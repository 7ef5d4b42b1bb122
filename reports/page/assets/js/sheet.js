// At the bed: what was read is held against what the step expects, and kept as
// lines of the log.
const steps = data.sheet ?? [];
const readAt = steps.map(() => null);

const stamp = (d) => {
  const two = (v) => String(v).padStart(2, "0");
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())} ${two(d.getHours())}:${two(d.getMinutes())}`;
};

// readIn returns in what a step is read: its instrument's unit, or a height in the reader's.
const readIn = (s) => s.unit ? [1, s.unit] : [unitOf("height").one, unitOf("height").unit];

function judge(k) {
  const s = steps[k], fields = [...document.querySelectorAll(`[data-read="${k}"], [data-less="${k}"]`)], out = document.getElementById("verdict-" + k);
  out.className = "verdict";
  readAt[k] = null;
  out.textContent = "";
  if (fields.some((field) => field.value.trim() === "")) return;
  const values = fields.map((field) => typed(field.value));
  if (values.some(Number.isNaN)) {
    out.textContent = "Write a number: 12.5 or 12,5 or 1 1/2.";
    out.classList.add("stop");
    return;
  }
  const [one, unit] = readIn(s), off = values[0] - (values[1] ?? 0) - s.until / one, good = Math.abs(off) <= s.within / one * (1 + 1e-9);
  readAt[k] = { values, unit, inch: system(), when: stamp(new Date()) };
  out.textContent = good ? "Good: go on." : "Stop and survey: it is off by " + String(Math.abs(Number(off.toPrecision(3)))) + " " + unit + ".";
  out.classList.toggle("stop", !good);
  const box = document.querySelector(`[data-step="${k}"]`);
  if (good) box.checked = true;
}

// cell quotes what a comma or a quote in it would break; no value begins like a
// formula.
const cell = (s) => /[",\n;]/.test(s) ? '"' + s.replaceAll('"', '""') + '"' : s;

// logLines returns what was done and read as lines of the log.
function logLines() {
  const out = ["when,what,where,value,note"];
  steps.forEach((s, k) => {
    const done = document.querySelector(`[data-step="${k}"]`).checked, read = readAt[k];
    if (!done && !read) return;
    const when = read?.when ?? stamp(new Date());
    out.push([when, "turn", s.foot, s.turned, ""].map(cell).join(","));
    if (read && s.act === "read") read.values.forEach((v, i) => out.push([when, "read", (i ? s.less : s.where)[read.inch], String(v), ""].map(cell).join(",")));
    if (read && s.act === "indicator") out.push([when, "indicator", s.foot, `${read.values[0] < 0 ? "down" : "up"} ${Math.abs(read.values[0])} ${read.unit}`, ""].map(cell).join(","));
  });
  return out;
}

function save() {
  const lines = logLines(), out = document.getElementById("saved");
  if (lines.length === 1) { out.textContent = "Nothing is ticked or read yet."; return; }
  const link = make("a", { href: URL.createObjectURL(new Blob([lines.join("\n") + "\n"], { type: "text/csv" })), download: "read-at-the-bed.csv" });
  link.click();
  out.textContent = `${lines.length - 1} lines saved in read-at-the-bed.csv: take them in with footwork turn --from.`;
}

function startSheet() {
  if (steps.length === 0) return;
  for (const field of document.querySelectorAll("[data-read], [data-less]")) field.addEventListener("change", () => judge(Number(field.dataset.read ?? field.dataset.less)));
  document.getElementById("save-read").addEventListener("click", save);
  document.getElementById("print-sheet").addEventListener("click", () => {
    root.classList.add("sheet-alone");
    print();
    root.classList.remove("sheet-alone");
  });
}
