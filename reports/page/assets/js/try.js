// Try it: a slider a foot; ways and loads answer at once.
const trial = data.try;
const turned = trial ? trial.feet.map(() => 0) : [];
const rows = [];
let asFound = null; // the bed as it was read, its table off
let under = null;   // the trial with the table on the bed

// loaded returns the trial with the table as the page's switch says.
function loaded() {
  if (!trial.under || root.dataset.table !== "on") return trial;
  return under ??= { ...trial, ...trial.under, scaled: undefined, ways: trial.ways.map((w, k) => ({ ...w, base: trial.under.base[k] })) };
}

const make = (tag, props, ...children) => {
  const e = Object.assign(document.createElement(tag), props);
  e.append(...children);
  return e;
};

// reach returns how far a foot may be tried, m: three times as far as the plan moves any,
// and no further than the job allows.
function reach() {
  const most = Math.max(25e-6, ...planned().map(Math.abs));
  return Math.min(3 * most, trial.most_move > 0 ? trial.most_move : Infinity);
}

// notch returns the least move of a foot's adjuster, m: a degree of a screw, the
// thinnest leaf, or a micrometre.
function notch(foot) {
  if (foot.kind === "screw" && foot.rise) return foot.rise / 360;
  if (foot.kind === "shim" && foot.shims?.length) return Math.min(...foot.shims);
  return shown.units === "inch" ? 2.54e-6 : 1e-6;
}

function buildRow(foot, f) {
  const row = { foot, box: make("div", { className: "try-row" }, make("b", { textContent: foot.name, title: foot.name })) };
  if (foot.kind !== "fixed") {
    const step = (by) => () => byHand(f, Math.round(turned[f] / notch(foot) + by) * notch(foot));
    row.less = make("button", { type: "button", textContent: "−", ariaLabel: foot.name + " a notch down", onclick: step(-1), tabIndex: -1 });
    row.more = make("button", { type: "button", textContent: "+", ariaLabel: foot.name + " a notch up", onclick: step(1), tabIndex: -1 });
    row.slider = make("input", { type: "range", min: -reach() * 1e9, max: reach() * 1e9, step: "any", value: 0, ariaLabel: foot.name + ", turn" });
    row.slider.addEventListener("input", () => byHand(f, Math.round(Number(row.slider.value) * 1e-9 / notch(foot)) * notch(foot)));
    row.slider.addEventListener("keydown", (e) => {
      const by = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 10, PageDown: -10 }[e.key];
      if (by) { e.preventDefault(); step(by)(); }
    });
    row.field = make("input", { type: "text", inputMode: "decimal", autocomplete: "off" });
    row.unit = make("span", {});
    row.field.addEventListener("change", () => {
      const v = typed(row.field.value) * unitOf("height").one;
      row.field.ariaInvalid = Number.isNaN(v) ? "true" : "false";
      if (!Number.isNaN(v)) byHand(f, Math.max(-reach(), Math.min(reach(), v)));
    });
    row.box.append(row.less, row.slider, row.more, make("span", { className: "typed" }, row.field, " ", row.unit));
  } else row.box.append(make("span", { className: "hand", textContent: "fixed" }), "", make("span"), make("span"), make("span"));
  row.hand = make("span", { className: "hand" });
  row.bar = make("i");
  row.load = make("span", { className: "load" });
  row.box.append(row.hand, make("span", { className: "meter" }, make("span", { className: "gauge", ariaHidden: "true" }, row.bar), row.load));
  return row;
}

function byHand(f, raise) {
  turned[f] = Math.max(-reach(), Math.min(reach(), raise));
  answer();
}

// handWords returns what the hand does: degrees and the spanner's end, or leaves.
function handWords(foot, raise) {
  const size = Math.abs(raise);
  if (size < 1e-10) return "";
  if (foot.kind === "screw" && foot.rise) {
    const angle = size / foot.rise * 2 * Math.PI, turns = Math.floor(angle / (2 * Math.PI) + 1e-9);
    if (turns > 0) return `${turns} ${turns > 1 ? "turns" : "turn"} and ${text("degrees", angle - turns * 2 * Math.PI)}`;
    return text("degrees", angle) + (foot.wrench ? `, spanner end ${text("spot", angle * foot.wrench)}` : "");
  }
  return raise < 0 ? "down" : "up";
}

const isPlan = () => trial.plan.length > 0 && planned().every((raise, f) => Math.abs(turned[f] - raise) < 1e-12);

// planned returns how far the plan moves each foot, m, step by step: one that is brought to
// touch, from where it hangs by then.
function planned() {
  if (planned.raises) return planned.raises;
  const at = trial.feet.map(() => 0);
  for (const step of trial.plan) {
    const f = trial.feet.findIndex((foot) => foot.name === step.foot);
    const gap = step.touch ? raised(trial, at)?.gaps[f] ?? 0 : 0;
    at[f] += step.raise + (Number.isFinite(gap) ? gap : 0);
  }
  return planned.raises = at;
}

// shapes returns each way as found and as turned.
function shapes(result) {
  return trial.ways.map((w, k) => {
    const now = w.measured ?? asFound.ways[k];
    return { x: w.x, now, then: now.map((v, i) => v + result.ways[k][i] - asFound.ways[k][i]) };
  });
}

// answer solves the bed as it is turned now and shows what comes of it.
function answer() {
  asFound ??= raised(trial, trial.feet.map(() => 0));
  const t = loaded(), result = asFound && raised(t, turned), line = document.getElementById("try-answer"), on = t === trial ? "Off" : "On";
  document.getElementById("try-table").textContent = trial.under ? `, table ${on.toLowerCase()}` : "";
  const which = isPlan() ? "plan" : turned.every((v) => v === 0) ? "now" : "";
  const program = which && line.dataset[which + on];
  const known = which && trial.known[which][on === "On" ? 1 : 0];
  showRows(program && known.loads ? { ...result, ...known } : result);
  if (!result) {
    line.textContent = "Turned so, no set of pushing feet balances the weight: the bed would tip.";
    return;
  }
  const both = shapes(result);
  showCurves(both);
  if (program) {
    line.innerHTML = program;
    if (shown.units !== root.dataset.printed) reprint();
  } else line.textContent = byHandWords(both, result);
}

function byHandWords(both, result) {
  const none = turned.every((v) => v === 0);
  const ways = both.map((s, k) => `${trial.ways[k].name} way ${none ? "" : text("height", zone(s.x, s.now)) + " → "}${text("height", zone(s.x, s.then))}`);
  const least = result.loads.indexOf(Math.min(...result.loads));
  const hang = trial.feet.filter((_, f) => result.gaps[f] > 0).map((f) => f.name);
  return `${none ? "No foot turned" : "By hand"}, ${trial.bed}${document.getElementById("try-table").textContent}: ${ways.join(", ")} out of straight; ` +
    (hang.length ? `${hang.join(", ")} ${hang.length > 1 ? "hang" : "hangs"}.` : `lightest foot ${trial.feet[least].name} ${text(trial.force, result.loads[least])}.`);
}

// showCurves lays the ways as turned over the chart of those that were; the chart
// itself is drawn anew only when its axis must grow.
function showCurves(both) {
  const box = document.getElementById("try-chart"), spec = data.charts.try;
  const then = both.map((s) => aboutEnds(s.x, s.then));
  if (!asFound.shown) {
    both.forEach((s, k) => { spec.option.series[k].data = aboutEnds(s.x, s.now).map((v, i) => [s.x[i], v]); });
    asFound.shown = true;
    grow(spec.option.series.flatMap((s) => s.data.map((p) => p[1])));
  }
  if (grow(then.flat()) && drawn.get(box)) draw(box);
  const { min, max } = spec.y[system()], wide = spec.x[0].max, across = (v) => (1000 * v / wide).toFixed(1), up = (v) => (1000 * (max - v) / (max - min)).toFixed(1);
  document.querySelectorAll("#try-turned path").forEach((path, k) => path.setAttribute("d", "M" + both[k].x.map((x, i) => across(x) + " " + up(then[k][i])).join("L")));
}

// grow widens the axis of the trial until heights are on it, and tells whether it did.
function grow(heights) {
  const spec = data.charts.try, low = Math.min(0, ...heights), high = Math.max(0, ...heights);
  if (asFound.low <= low && asFound.high >= high) return false;
  asFound.low = Math.min(low, asFound.low ?? 0);
  asFound.high = Math.max(high, asFound.high ?? 0);
  spec.y.forEach((s, k) => {
    Object.assign(s, trial.steps[k].find((step) => step.interval >= (asFound.high - asFound.low) / 5 * (1 - 1e-9)));
    s.min = Math.floor(asFound.low / s.interval + 1e-9) * s.interval;
    s.max = Math.ceil(asFound.high / s.interval - 1e-9) * s.interval;
    asFound.low = Math.min(asFound.low, k === 0 ? s.min : asFound.low);
    asFound.high = Math.max(asFound.high, k === 0 ? s.max : asFound.high);
  });
  return true;
}

function showRows(result) {
  const most = 1.6 * Math.max(...(asFound?.loads ?? [1]));
  rows.forEach((row, f) => {
    const r = turned[f];
    if (row.slider) {
      row.slider.value = r * 1e9;
      row.field.value = digits("height", r, true);
      row.unit.textContent = unitOf("height").unit;
      row.field.setAttribute("aria-label", `${row.foot.name}, turn in ${unitOf("height").unit}`);
      row.slider.setAttribute("aria-valuetext", r === 0 ? "not turned" : `${r < 0 ? "down" : "up"} ${text("height", Math.abs(r))}`);
      row.hand.textContent = handWords(row.foot, r);
    }
    if (!result) { row.load.textContent = ""; row.bar.style.width = "0"; return; }
    const hangs = result.gaps[f] > 0, light = result.loads[f] < trial.least_load;
    row.load.textContent = hangs ? `hangs ${text("height", result.gaps[f])}` : text(trial.force, result.loads[f]) + (light ? " light" : "");
    row.box.classList.toggle("weak", hangs || light);
    row.bar.style.width = Math.max(0, Math.min(100, 100 * result.loads[f] / most)) + "%";
  });
}

function load(raises) {
  asFound ??= raised(trial, trial.feet.map(() => 0));
  raises.forEach((raise, f) => { turned[f] = raise; });
  answer();
}

function startTrial() {
  if (!trial) return;
  trial.feet.forEach((foot, f) => rows.push(buildRow(foot, f)));
  document.getElementById("try-feet").append(...rows.map((row) => row.box));
  document.getElementById("try-chart").dataset.chart = "try";
  document.getElementById("try-plan").hidden = trial.plan.length === 0;
  document.getElementById("try-plan").addEventListener("click", () => load(planned()));
  document.getElementById("try-none").addEventListener("click", () => load(trial.feet.map(() => 0)));
  load(planned());
}
