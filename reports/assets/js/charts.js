// Charts: the options come from the program in SI; here each axis is scaled to
// the chosen units, the chosen reference line is taken off, and ink is laid on.
const specs = read("charts");
const drawn = new Map();
const marks = {}; // per chart: { at, from, to } in SI, an upright line and a shaded stretch

const ink = (name) => getComputedStyle(root).getPropertyValue("--" + name).trim();

// strokes of each style: never colour alone.
const strokes = {
  "first": { ink: "first", type: "solid", width: 2.2, symbol: "circle" },
  "second": { ink: "second", type: [7, 6], width: 2.2, symbol: "rect" },
  "first faint": { ink: "first", type: "solid", width: 1, symbol: "none" },
  "second faint": { ink: "second", type: [7, 6], width: 1, symbol: "none" },
  "quiet": { ink: "quiet", type: [2, 3], width: 1.6, symbol: "triangle" },
  "star": { ink: "flag", type: "solid", width: 2, symbol: "diamond" },
};

const scaleOf = (axis) => axis.kind ? unitOf(axis.kind).one : 1;
const nameOf = (axis) => {
  const unit = axis.kind ? unitOf(axis.kind).unit : axis.unit;
  return unit ? axis.name + ", " + unit : axis.name;
};

// points returns a series in the chosen units: [[x, y, ±]].
function points(spec, k) {
  const note = spec.notes[k], panel = note.panel ?? 0;
  const one = scaleOf(spec.x[panel]), up = scaleOf(spec.y[panel]);
  const data = spec.data?.[k] ?? spec.option.series[k].data.map((d) => d.value);
  const x = data.map((d) => d[0]);
  let y = note.by_line ? note.by_line[state.line] : data.map((d) => d[1]);
  if (note.ref && y.length > 1) y = about(x, y);
  return x.map((v, i) => note.sigma ? [v / one, y[i] / up, 2 * note.sigma[i] / up] : [v / one, y[i] / up]);
}

// band draws a curve's uncertainty as one polygon.
function band(pts, panel, color) {
  return {
    type: "custom", silent: true, animation: false, xAxisIndex: panel, yAxisIndex: panel, z: 1, tooltip: { show: false },
    encode: { x: 0, y: [1, 2] }, data: pts.map((p) => [p[0], p[1] - p[2], p[1] + p[2]]), id: "band-" + panel + "-" + Math.random(),
    renderItem: (params, api) => {
      if (params.dataIndex !== 0) return null;
      const up = pts.map((p) => api.coord([p[0], p[1] + p[2]])), down = pts.map((p) => api.coord([p[0], p[1] - p[2]])).reverse();
      return { type: "polygon", shape: { points: [...up, ...down] }, style: { fill: color, opacity: 0.17 } };
    },
  };
}

const hidden = (note) => state.way !== "" && note.way && note.way !== state.way;

function niceStep(least) {
  const ten = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((m) => m * ten).find((v) => v >= least * (1 - 1e-9));
}

// sameRange returns one range for all panels, so that they can be compared.
function sameRange(spec) {
  let low = 0, high = 0;
  spec.notes.forEach((note, k) => points(spec, k).forEach((p) => {
    low = Math.min(low, p[1] - (p[2] ?? 0)); high = Math.max(high, p[1] + (p[2] ?? 0));
  }));
  const step = niceStep(Math.max(high - low, 1e-9) / 3);
  return { min: Math.floor(low / step) * step, max: Math.ceil(high / step) * step, interval: step };
}

// plain prints a tick with a true minus.
const plain = (v) => String(Math.round(v * 1e6) / 1e6).replace("-", "−");

const gap = 34, headroom = 30; // px between panels and above the first
const eachPanel = (spec, width) => Math.round(spec.height * (width < 520 || root.classList.contains("paper") ? 0.82 : 1));
const tall = (spec, width) => headroom + spec.x.length * (eachPanel(spec, width) + gap) + 16;

// endNames returns the words at the end of each curve, "" for none; curves that
// run on one another are named once, together.
function endNames(spec) {
  const names = spec.notes.map((note, k) => spec.same || note.unnamed || hidden(note) ? "" : spec.option.series[k].name ?? "");
  const curves = names.map((name, k) => name && points(spec, k).map((p) => p[1]));
  const tall = Math.max(1e-12, ...curves.map((y) => y ? Math.max(...y) - Math.min(...y) : 0));
  for (let k = 0; k < names.length; k++) {
    if (!names[k]) continue;
    for (let j = k + 1; j < names.length; j++) {
      if (!names[j] || curves[j].length !== curves[k].length || (spec.notes[j].panel ?? 0) !== (spec.notes[k].panel ?? 0)) continue;
      if (curves[j].some((y, i) => Math.abs(y - curves[k][i]) > 0.01 * tall)) continue;
      names[k] += " = " + names[j];
      names[j] = "";
    }
  }
  return names;
}

// roomRight returns the room that the names at the ends of curves take, px.
function roomRight(spec, names, narrow) {
  if (spec.same) return 24;
  const longest = Math.max(...names.map((name, k) => spec.notes[k].style === "star" ? 0 : name.length));
  return Math.min(narrow ? 92 : 140, 22 + 6.6 * longest);
}

// layout returns the grids and axes of a chart of some width.
function layout(spec, width, right) {
  const narrow = width < 520, panels = spec.x.length, range = spec.same ? sameRange(spec) : {};
  const each = eachPanel(spec, width);
  const base = { nameTextStyle: { color: ink("ink") }, axisLabel: { color: ink("ink"), hideOverlap: true, formatter: plain },
    axisLine: { lineStyle: { color: ink("line") } }, splitLine: { lineStyle: { color: ink("grid") } } };
  const o = { grid: [], xAxis: [], yAxis: [], total: tall(spec, width) };
  for (let i = 0; i < panels; i++) {
    o.grid.push({ left: 52, right, top: headroom + i * (each + gap), height: each, outerBoundsMode: "none" });
    const last = i === panels - 1, whole = !spec.x[i].kind, x = ends(spec, i);
    o.xAxis.push({ ...base, type: "value", gridIndex: i, scale: true, minInterval: whole ? 1 : 0, name: last ? nameOf(spec.x[i]) : "",
      nameLocation: "middle", nameGap: 26, axisLine: { onZero: false, lineStyle: { color: ink("line") } },
      splitLine: { show: false }, splitNumber: narrow ? 4 : 8, ...x, axisLabel: { ...base.axisLabel, ...x.axisLabel, show: last } });
    o.yAxis.push({ ...base, type: "value", gridIndex: i, name: nameOf(spec.y[i]), nameLocation: "end", nameGap: 10,
      nameTextStyle: { color: ink("ink"), align: "left", padding: [0, 0, 0, -44] }, splitNumber: spec.same ? 2 : 4, ...range,
      axisLine: { onZero: false, lineStyle: { color: ink("line") } } });
  }
  return o;
}

// ends returns the range of a panel's x axis: that of all panels along the bed.
function ends(spec, panel) {
  let low = Infinity, high = -Infinity;
  spec.notes.forEach((note, k) => {
    if (spec.x[note.panel ?? 0].name !== spec.x[panel].name) return;
    for (const p of points(spec, k)) { low = Math.min(low, p[0]); high = Math.max(high, p[0]); }
  });
  if (!spec.x[panel].kind) return { min: low - 0.3, max: high + 0.3, axisLabel: { formatter: (v) => Number.isInteger(v) ? String(v) : "" } };
  return { min: low, max: high, axisLabel: { formatter: plain } };
}

// series returns what ECharts draws of series k.
function series(spec, k, label, right) {
  const note = spec.notes[k], panel = note.panel ?? 0, s = strokes[note.style] ?? strokes.first, color = ink(s.ink);
  const pts = points(spec, k), name = spec.option.series[k].name ?? "", few = pts.length <= 40;
  const line = {
    type: "line", name, id: "s" + k, xAxisIndex: panel, yAxisIndex: panel, data: pts.map((p) => [p[0], p[1]]), z: 3,
    color, lineStyle: { color, width: s.width, type: s.type }, itemStyle: { color },
    symbol: s.symbol, symbolSize: note.style === "star" ? 15 : 5, showSymbol: Boolean(note.points && few), animation: false,
    areaStyle: note.fill ? { color, opacity: 0.14 } : undefined,
    endLabel: { show: label !== "", formatter: () => label, color: ink("ink"), distance: 6, width: right - 10, overflow: "break" },
    labelLayout: { moveOverlap: "shiftY" },
  };
  if (pts.length === 1) line.label = { show: true, position: "top", distance: 8, formatter: () => name, color: ink("ink") };
  if (pts.length === 1) line.endLabel.show = false;
  const m = marks[spec.id];
  if (m && (k === 0 || panel > 0)) Object.assign(line, marked(m, scaleOf(spec.x[panel])));
  return note.sigma ? [line, band(pts, panel, color)] : [line];
}

// marked returns an upright line and a shaded stretch.
function marked(m, one) {
  const o = {};
  if (m.at !== undefined) o.markLine = { silent: true, symbol: "none", animation: false, label: { show: false },
    lineStyle: { color: ink("ink"), type: "solid", width: 1 }, data: [{ xAxis: m.at / one }] };
  if (m.to !== undefined) o.markArea = { silent: true, animation: false, itemStyle: { color: ink("shade"), opacity: 0.5 },
    data: [[{ xAxis: m.from / one }, { xAxis: m.to / one }]] };
  return o;
}

const encode = (s) => echarts.format.encodeHTML(String(s));

// tip returns what is shown beside the pointer; every name is encoded.
function tip(spec, params) {
  const shown = params.filter((p) => p.seriesType === "line");
  if (shown.length === 0) return "";
  const rows = shown.map((p) => {
    const note = spec.notes[Number(p.seriesId.slice(1))], axis = spec.y[note.panel ?? 0];
    return `${encode(p.seriesName)}: ${encode(figure(axis, p.value[1]))}`;
  });
  return `${encode(spec.x[0].name)} ${encode(figure(spec.x[0], shown[0].value[0]))}<br>${rows.join("<br>")}`;
}

// figure prints a value that is already in the axis' unit.
function figure(axis, v) {
  if (axis.kind) return text(axis.kind, v * unitOf(axis.kind).one);
  return (axis.unit ? v.toFixed(2) : String(v)) + (axis.unit ? "\u00a0" + axis.unit : "");
}

function optionOf(spec, width) {
  const names = endNames(spec), right = roomRight(spec, names, width < 520), o = layout(spec, width, right), all = [];
  spec.notes.forEach((note, k) => { if (!hidden(note)) all.push(...series(spec, k, names[k], right)); });
  return { ...spec.option, title: undefined, toolbox: undefined, color: undefined, animation: false, textStyle: { fontFamily: ink("font"), fontSize: 12 },
    grid: o.grid, xAxis: o.xAxis, yAxis: o.yAxis, series: all, legend: { show: false },
    tooltip: { trigger: "axis", confine: true, transitionDuration: 0, formatter: (p) => tip(spec, p),
      backgroundColor: ink("paper"), borderColor: ink("line"), textStyle: { color: ink("ink"), fontSize: 12 } }, total: o.total };
}

// draw lays a chart out anew; width is given when the page goes to paper.
function draw(id, width) {
  const box = document.getElementById("chart-" + id), spec = specs[id];
  if (!box || !spec) return;
  spec.id = id;
  const wide = width ?? box.clientWidth;
  if (wide < 40) return;
  const { total, ...option } = optionOf(spec, wide);
  box.style.height = total + "px";
  let chart = drawn.get(id);
  if (!chart) drawn.set(id, chart = echarts.init(box, null, { renderer: "svg", width: wide, height: total }));
  else chart.resize({ width: wide, height: total, silent: true });
  chart.setOption(option, { notMerge: true, lazyUpdate: false });
  chart.getZr().flush();
}

// redraw gives a chart that is already laid out new points, and nothing else; one
// that is not yet drawn gets them when it comes into sight.
function redraw(id) {
  const chart = drawn.get(id), spec = specs[id];
  if (!chart || stale.has(id)) { stale.add(id); return drawSeen(); }
  if (spec.notes.some((note) => note.sigma)) return draw(id);
  const series = spec.notes.map((note, k) => hidden(note) ? null : { id: "s" + k, data: points(spec, k), ...again(spec, k) }).filter(Boolean);
  chart.setOption({ series }, { lazyUpdate: false });
  chart.getZr().flush();
}

// again returns the marks of a series that is given new points.
function again(spec, k) {
  const m = marks[spec.id], panel = spec.notes[k].panel ?? 0;
  return m && (k === 0 || panel > 0) ? marked(m, scaleOf(spec.x[panel])) : {};
}

const drawAll = (width) => Object.keys(specs).forEach((id) => draw(id, width));

// stale holds the charts that are to be drawn when they come into sight.
const stale = new Set();
const margin = 400; // px above and below the window that count as in sight
const sight = new IntersectionObserver((seen) => {
  for (const s of seen) s.target.inSight = s.isIntersecting;
  drawSeen();
}, { rootMargin: margin + "px 0px" });

function inSight(box) {
  const at = box.getBoundingClientRect();
  return at.width > 0 && at.top < innerHeight + margin && at.bottom > -margin;
}

// drawSoon lets every chart follow the choices: those in sight one after the
// other at once, the rest when they come into sight.
function drawSoon() {
  const boxes = [...document.querySelectorAll(".chart")], widths = boxes.map((box) => box.clientWidth);
  boxes.forEach((box, i) => {
    stale.add(box.dataset.chart);
    if (widths[i] > 0) box.style.height = tall(specs[box.dataset.chart], widths[i]) + "px";
    sight.observe(box);
  });
  for (const box of boxes) box.inSight = inSight(box);
  delete root.dataset.drawn;
  drawSeen();
}

let drawing = false;

function drawSeen() {
  if (drawing) return;
  drawing = true;
  setTimeout(function next() {
    const id = [...stale].find((id) => document.getElementById("chart-" + id).inSight);
    drawing = id !== undefined;
    if (!drawing) { root.dataset.drawn = "all"; return; }
    stale.delete(id);
    draw(id);
    setTimeout(next);
  });
}
