// Try it: one row a foot, in the adjuster's own units; ways and loads answer at once.
const trial = read("try");
const plan = read("plan");
let raises = trial ? trial.feet.map(() => 0) : [];
let step = 0; // steps of the plan that are in raises, −1: moved by hand
let zero = null;
const rows = [];

const make = (tag, props, ...children) => {
  const e = Object.assign(document.createElement(tag), props);
  e.append(...children);
  return e;
};

// reach returns how far a foot may be tried, m.
const reach = (foot) => trial.most_move > 0 ? trial.most_move : foot.kind === "screw" && foot.rise ? foot.rise / 4 : 0.25e-3;

// stacks returns the heights that at most four leaves make, each with its leaves.
function stacks(foot) {
  const found = new Map([[0, []]]);
  const grow = (from, leaves, sum) => {
    if (leaves.length === 4) return;
    for (let i = from; i < foot.shims.length; i++) {
      const s = Math.round((sum + foot.shims[i]) * 1e9) / 1e9, next = [...leaves, foot.shims[i]];
      if (s > reach(foot) * (1 + 1e-9)) continue;
      if (!found.has(s) || found.get(s).length > next.length) found.set(s, next);
      grow(i, next, s);
    }
  };
  grow(0, [], 0);
  return [...found].sort((a, b) => a[0] - b[0]);
}

// gearOf returns how a foot is moved: its slider's ends and step, and the way
// between its own figures and metres.
function gearOf(foot) {
  const most = reach(foot);
  if (foot.kind === "screw" && foot.rise) {
    const one = foot.rise / 360;
    return { unit: () => "°", most: Math.round(most / one * 2) / 2, step: 0.5, fine: 0.1, digits: 1, toMetres: (v) => v * one, fromMetres: (r) => r / one };
  }
  if (foot.kind === "shim" && foot.shims?.length) return shimGear(foot);
  return { unit: () => unitOf("height").unit, free: true, digits: 1, toMetres: (v) => v * unitOf("height").one, fromMetres: (r) => r / unitOf("height").one };
}

function shimGear(foot) {
  const up = stacks(foot), all = [...up.slice(1).reverse().map(([s, l]) => [-s, l]), ...up], mid = up.length - 1;
  const nearest = (r) => all.reduce((best, s, i) => Math.abs(s[0] - r) < Math.abs(all[best][0] - r) ? i : best, mid);
  return { unit: () => unitOf("height").unit, shim: true, most: mid, step: 1, digits: 1, leaves: (r) => all[nearest(r)][1],
    snap: (r) => all[nearest(r)][0], slideTo: (k) => all[k + mid][0], slideFrom: (r) => nearest(r) - mid,
    toMetres: (v) => v * unitOf("height").one, fromMetres: (r) => r / unitOf("height").one };
}

function buildRow(foot, f) {
  const name = make("span", { className: "foot-label", id: "foot-" + f, textContent: foot.name });
  const row = { foot, gear: gearOf(foot) };
  const box = make("div", { className: "foot-row" }, name);
  if (foot.kind === "fixed") box.append(make("span", { className: "fixed", textContent: "fixed" }));
  else box.append(...inputs(row, f));
  row.far = make("span", { className: "far" });
  row.bar = make("span", { className: "bar" });
  row.least = make("span", { className: "least" });
  row.load = make("span", { className: "load-words" });
  box.append(row.far, make("span", { className: "gauge", ariaHidden: "true" }, row.bar, row.least), row.load);
  row.box = box;
  return row;
}

function inputs(row, f) {
  const label = row.foot.name + ", raise in ";
  row.slider = make("input", { type: "range", id: "slide-" + f });
  row.number = make("input", { type: "number", id: "number-" + f, inputMode: "decimal" });
  row.unit = make("span", { className: "unit" });
  row.relabel = () => {
    const unit = row.gear.unit(), spoken = unit === "°" ? "degrees of screw" : unit;
    row.slider.setAttribute("aria-label", label + (row.gear.shim ? "shim steps" : spoken) + ", slider");
    row.number.setAttribute("aria-label", label + spoken);
    row.unit.textContent = unit;
    const g = row.gear, one = g.free ? (state.units === "inch" ? 0.05 : 1) : g.step;
    const most = g.free ? Math.floor(g.fromMetres(reach(row.foot)) / one) * one : g.most;
    Object.assign(row.slider, { min: -most, max: most, step: one });
    row.number.step = g.shim ? "any" : g.fine ?? one;
  };
  row.slider.addEventListener("input", () => byHand(f, row.gear.slideTo ? row.gear.slideTo(Number(row.slider.value)) : row.gear.toMetres(Number(row.slider.value))));
  row.number.addEventListener("change", () => {
    const r = row.gear.toMetres(Number(row.number.value) || 0), most = reach(row.foot);
    byHand(f, row.gear.snap ? row.gear.snap(r) : Math.max(-most, Math.min(most, r)));
  });
  return [row.slider, make("span", { className: "typed" }, row.number, row.unit)];
}

function byHand(f, raise) {
  raises[f] = raise;
  step = -1;
  answer();
}

// touching returns how far the plan's steps so far raise a foot until it just
// takes load, m; 0: they do not.
const touching = (f) => plan.slice(0, Math.max(step, 0)).reduce((sum, s) => s.touch && s.foot === trial.feet[f].name ? sum + s.raise : sum, 0);

// howFar returns a move in the adjuster's own words; full gives the angle too.
function howFar(f, full) {
  const touch = touching(f), rest = Math.abs(raises[f] - touch) < 1e-12 ? 0 : raises[f] - touch, words = sized(f, rest, full);
  if (touch === 0) return words;
  return "until it just takes load" + (words ? `, then ${rest < 0 ? "down" : "up"} ${words}` : "");
}

function sized(f, r, full) {
  const { foot, gear } = rows[f];
  if (r === 0) return "";
  const raise = text("height", r, true);
  if (foot.kind === "screw" && foot.rise) {
    const angle = Math.abs(r) / foot.rise * 2 * Math.PI;
    return (full ? text("degrees", angle) + ", " : "") + raise + (foot.wrench ? ", swing " + text("swing", angle * foot.wrench) : "");
  }
  if (gear.shim) return (r < 0 ? "take out " : "put in ") + gear.leaves(r).map((v) => text("height", v)).join(" + ");
  return raise;
}

// stateOf returns the word for a foot that is light or carries nothing.
function stateOf(load, gap) {
  if (gap > 0) return "◇ off, gap " + text("height", gap);
  return load < trial.least_load ? "△ light" : "";
}

// shapes returns the ways as they are and as moved.
function shapes(result) {
  return trial.ways.map((w, k) => {
    const now = w.measured ?? zero.ways[k];
    return { now, then: now.map((v, i) => v + result.ways[k][i] - zero.ways[k][i]) };
  });
}

let last = null;

// answer solves the bed for the present moves and shows what comes of it.
function answer(spoken = true) {
  if (!trial) return;
  zero ??= raised(trial, trial.feet.map(() => 0));
  const result = zero && raised(trial, raises);
  const line = document.getElementById("try-answer");
  if (!result) {
    line.textContent = "With these moves no set of pushing feet balances the weight: the bed would tip.";
    last = null;
  } else {
    last = { result, shapes: shapes(result) };
    showShapes();
    line.textContent = answerWords();
  }
  showRows(result);
  document.getElementById("try-text").value = asText();
  keep();
  if (spoken) tell(line.textContent);
}

function answerWords() {
  const { result, shapes: both } = last;
  const words = trial.ways.map((w, k) => `${w.name} way ${text("height", straightness(w.x, both[k].now))} → ${text("height", straightness(w.x, both[k].then))}`);
  const least = result.loads.indexOf(Math.min(...result.loads));
  const which = step > 0 ? `After step ${step} of ${plan.length}${touchedNow()}: ` : step < 0 ? "Moved by hand: " : "No foot moved: ";
  const off = trial.feet.filter((f, i) => result.gaps[i] > 0).map((f) => f.name);
  return `${which}${words.join(", ")} out of straight. Lightest foot ${trial.feet[least]?.name ?? "none"}, ${text("force", result.loads[least] ?? 0)}` +
    (off.length ? `; carrying nothing: ${off.join(", ")}.` : ".");
}

// touchedNow tells which foot the last step brings to touch.
function touchedNow() {
  const s = plan[step - 1];
  return s?.touch ? ` (${s.foot} up until it just takes load)` : "";
}

function showShapes() {
  const spec = specs.try, n = trial.ways.length;
  spec.data = [];
  trial.ways.forEach((w, k) => {
    spec.data[k] = w.x.map((x, i) => [x, last.shapes[k].now[i]]);
    spec.data[n + k] = w.x.map((x, i) => [x, last.shapes[k].then[i]]);
  });
  redraw("try");
}

function showRows(result) {
  const most = Math.max(...(zero?.loads ?? [1])) * 1.6;
  rows.forEach((row, f) => {
    const r = raises[f], g = row.gear;
    if (row.slider) {
      row.slider.value = g.slideFrom ? g.slideFrom(r) : g.fromMetres(r);
      if (document.activeElement !== row.number || Number(row.number.value) !== g.fromMetres(r)) row.number.value = +g.fromMetres(r).toFixed(g.free && state.units === "inch" ? 2 : g.digits);
      row.slider.setAttribute("aria-valuetext", (r < 0 ? "down " : "up ") + (howFar(f) || "nothing"));
    }
    row.far.textContent = howFar(f);
    if (!result) { row.load.textContent = ""; row.bar.style.width = "0"; return; }
    const word = stateOf(result.loads[f], result.gaps[f]);
    row.load.textContent = text("force", result.loads[f]) + (word ? " " + word : "");
    row.box.classList.toggle("weak", word !== "");
    row.bar.style.width = Math.max(0, Math.min(100, 100 * result.loads[f] / most)) + "%";
    row.least.style.left = Math.min(100, 100 * trial.least_load / most) + "%";
  });
}

// asText returns the moves and what is expected, to paste anywhere.
function asText() {
  const moved = trial.feet.map((foot, f) => {
    if (raises[f] === 0) return null;
    return `  ${foot.name}: ${raises[f] < 0 ? "down" : "up"} ${howFar(f, true)}`;
  }).filter(Boolean);
  const out = [document.title, `standing: ${trial.standing}`, "moves:", ...(moved.length ? moved : ["  none"])];
  if (last) out.push("expected: " + answerWords(), "loads: " + trial.feet.map((f, i) => `${f.name} ${text("force", last.result.loads[i])}`).join(", "));
  return out.join("\n");
}

// loadPlan puts the first k steps of the plan into the feet.
function loadPlan(k) {
  step = Math.max(0, Math.min(plan.length, k));
  raises = trial.feet.map((foot) => plan.slice(0, step).reduce((sum, s) => s.foot === foot.name ? sum + s.raise : sum, 0));
  answer();
}

async function copyText() {
  const area = document.getElementById("try-text");
  let done = false;
  try { await navigator.clipboard.writeText(area.value); done = true; } catch { /* no clipboard: select and ask the browser */ }
  if (!done) {
    document.getElementById("try-text-fold").open = true;
    area.select();
    done = document.execCommand("copy");
  }
  tell(done ? "Copied." : "Select the text below and copy it.");
}

function startTrial() {
  if (!trial) return;
  const box = document.getElementById("try-feet");
  trial.feet.forEach((foot, f) => { rows.push(buildRow(foot, f)); box.append(rows[f].box); });
  relabel();
  const on = (id, what) => document.getElementById(id).addEventListener("click", what);
  on("try-reset", () => loadPlan(0));
  on("try-plan", () => loadPlan(plan.length));
  on("try-next", () => loadPlan(Math.max(step, 0) + 1));
  on("try-back", () => loadPlan((step < 0 ? plan.length : step) - 1));
  on("try-copy", copyText);
  for (const id of ["try-plan", "try-next", "try-back"]) document.getElementById(id).disabled = plan.length === 0;
}

const relabel = () => rows.forEach((row) => row.relabel?.());
