// At the bed: what was read is held against what the step expects, and kept as
// lines of the log.
const steps = data.sheet ?? [];
const kept = steps.map(() => ({})); // of each step: when it was first ticked or read, and what was read
const box = (k) => document.querySelector(`[data-step="${k}"]`);

const stamp = (d) => {
  const two = (v) => String(v).padStart(2, "0");
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())} ${two(d.getHours())}:${two(d.getMinutes())}`;
};

// readIn returns in what a step is read: its instrument's unit, or a height in the reader's.
const readIn = (s) => s.unit ? [1, s.unit] : [unitOf("height").one, unitOf("height").unit];

// figures returns what was typed of a step, "now" before its turn or "read" after: null
// while a field is empty.
function figures(k, name) {
  const texts = [...document.querySelectorAll(`[data-${name}="${k}"]`)].map((field) => field.value.trim());
  return texts.length === 0 || texts.includes("") ? null : texts.map(typed);
}

// shows is what an instrument shows that is read at one place, or at two whose difference counts.
const shows = ([at, less]) => at - (less ?? 0);

// judge holds a step's readings against each other: an instrument that was set up anew has
// another zero, so from what it reads now the step has the same way to go.
function judge(k) {
  const s = steps[k], now = figures(k, "now"), read = figures(k, "read"), out = document.getElementById("verdict-" + k);
  const say = (words, stop) => { out.textContent = words; out.classList.toggle("stop", Boolean(stop)); };
  const wrong = [now, read].some((list) => list?.some(Number.isNaN)), [one, unit] = readIn(s), inch = system();
  Object.assign(kept[k], { now: null, read: null }, wrong ? {} : { now, read, unit, inch });
  if (wrong) return say("Write a number: 12.5 or 12,5 or 1 1/2.", true);
  if (!now && !read) return say("");
  kept[k].when ??= stamp(new Date());
  const until = (s.until + (now ? shows(now) * one - s.before : 0)) / one, within = s.within / one;
  if (!read) return say(`Stop at ${until.toFixed(Math.max(0, 1 - Math.floor(Math.log10(within))))} ${unit}.`);
  const off = shows(read) - until, good = Math.abs(off) <= within * (1 + 1e-9);
  say(good ? "Good: go on." : "Stop and survey: it is off by " + String(Math.abs(Number(off.toPrecision(3)))) + " " + unit + ".", !good);
  if (good) box(k).checked = true;
}

// cell quotes what a comma or a quote in it would break; no value begins like a
// formula.
const cell = (s) => /[",\n;]/.test(s) ? '"' + s.replaceAll('"', '""') + '"' : s;

// logLines returns what was done and read as lines of the log, in time order.
function logLines() {
  const done = steps.map((s, k) => ({ s, ...kept[k], done: box(k).checked })).filter((k) => k.done || k.now || k.read);
  const lines = done.sort((a, b) => a.when.localeCompare(b.when)).flatMap(({ s, when, done, now, read, unit, inch }) => {
    const at = (list) => (list ?? []).map((v, i) => [when, "read", (i ? s.less : s.where)[inch], String(v), ""]);
    const gauge = read && s.act === "indicator" ? [[when, "indicator", s.foot, `${read[0] < 0 ? "down" : "up"} ${Math.abs(read[0])} ${unit}`, ""]] : at(read);
    return [...at(now), ...(done || read ? [[when, "turn", s.foot, s.turned, ""]] : []), ...gauge];
  });
  return ["when,what,where,value,note", ...lines.map((cells) => cells.map(cell).join(","))];
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
  for (const field of document.querySelectorAll("[data-now], [data-read]")) field.addEventListener("change", () => judge(Number(field.dataset.now ?? field.dataset.read)));
  steps.forEach((s, k) => box(k).addEventListener("change", () => { kept[k].when ??= stamp(new Date()); }));
  document.getElementById("save-read").addEventListener("click", save);
  document.getElementById("print-sheet").addEventListener("click", () => {
    root.classList.add("sheet-alone");
    print();
    root.classList.remove("sheet-alone");
  });
}
