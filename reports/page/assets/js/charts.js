// Charts: the options come from the program in SI, with round axes in both
// systems; here they get the words of the chosen one, and are drawn when seen.
const drawn = new Map();

// mark prints a number at an axis, in as many digits as its step needs.
function mark(kind, unit, places) {
  const one = unit ? 1 : unitOf(kind).one;
  return (v) => (v / one).toFixed(places).replace(/^-(0\.?0*)$/, "$1").replace("-", "−");
}

// margin returns one of every picture over the bed, in percent of its width.
const margin = (side) => getComputedStyle(root).getPropertyValue(side).trim();

function axis(c, which, extra) {
  const s = c[which][system()], label = mark(c.kinds[which === "x" ? 0 : 1], which === "y" && c.unit, s.digits);
  return { ...s, type: "value", axisLabel: { formatter: label, color: "var(--soft)", hideOverlap: true, ...extra.axisLabel },
    axisLine: { show: true, onZero: false, lineStyle: { color: "var(--line)" } }, splitLine: { show: which === "y", lineStyle: { color: "var(--grid)" } }, ...extra.axis };
}

// shownAs returns what depends on units and width: axes, margins, words.
function shownAs(c) {
  const unit = c.unit || unitOf(c.kinds[1]).unit, along = unitOf(c.kinds[0]).unit;
  return {
    textStyle: { fontFamily: "inherit" },
    grid: { top: 28, bottom: 40, left: margin("--l"), right: margin("--r"), outerBoundsMode: "none" },
    xAxis: axis(c, "x", { axis: { name: along, nameLocation: "end", nameGap: 4, nameTextStyle: { color: "var(--soft)", align: "left", verticalAlign: "bottom", padding: [0, 0, 4, -12] } }, axisLabel: { showMaxLabel: false } }),
    yAxis: axis(c, "y", { axis: { name: unit, nameGap: 12, nameTextStyle: { color: "var(--soft)", align: "right", padding: [0, 4, 0, 0] } }, axisLabel: {} }),
    tooltip: { trigger: "axis", confine: true, transitionDuration: 0, axisPointer: { type: "none" }, formatter: (p) => beside(c, p),
      backgroundColor: "var(--paper)", borderColor: "var(--line)", textStyle: { color: "var(--ink)" } },
  };
}

const encode = (s) => echarts.format.encodeHTML(String(s));

// beside returns what is shown beside the pointer; every name is encoded.
function beside(c, params) {
  const rows = params.filter((p) => p.seriesName && !/^series\u0000/.test(p.seriesName) && p.seriesName !== "").map((p) =>
    `${encode(p.seriesName)}: ${encode(c.unit ? p.value[1].toFixed(3) + " " + c.unit : text(c.kinds[1], p.value[1]))}`);
  return rows.length ? `${encode(text(c.kinds[0], params[0].value[0]))}<br>${rows.join("<br>")}` : "";
}

// draw lays a chart out, or lays it out anew; a size is given for paper, where
// the picture is then scaled to its column.
function draw(box, size) {
  const c = data.charts[box.dataset.chart ?? box.id];
  if (!c || box.clientWidth < 40) return;
  size ??= { width: box.clientWidth, height: box.clientHeight };
  let chart = drawn.get(box);
  if (!chart) drawn.set(box, chart = echarts.init(box, null, { renderer: "svg", ...size }));
  else chart.resize(size);
  chart.setOption({ ...c.option, title: undefined, color: undefined, toolbox: undefined, ...shownAs(c) }, { notMerge: true, lazyUpdate: false });
  chart.getZr().flush();
  box.querySelector("svg").setAttribute("viewBox", `0 0 ${size.width} ${size.height}`);
}

// drawSoon draws every chart anew: those in the window at once, the others one at a time
// while nothing else is to do, the nearest first.
function drawSoon() {
  cancelIdle(drawSoon.next);
  delete root.dataset.drawn;
  const middle = innerHeight / 2;
  const boxes = [...document.querySelectorAll(".chart")].filter((box) => box.clientWidth > 0).map((box) => [box, Math.abs(box.getBoundingClientRect().top - middle)]);
  boxes.sort((a, b) => a[1] - b[1]);
  while (boxes[0]?.[1] < middle) draw(boxes.shift()[0]);
  (function one() {
    if (boxes.length === 0) { root.dataset.drawn = "all"; return; }
    drawSoon.next = whenIdle(() => { draw(boxes.shift()[0]); one(); });
  })();
}
const [whenIdle, cancelIdle] = window.requestIdleCallback ? [requestIdleCallback, cancelIdleCallback] : [setTimeout, clearTimeout]; // Safari

// forPaper draws every chart in a size that prints well in its column, and opens what is
// printed, too.
function forPaper() {
  for (const fold of document.querySelectorAll("details.paper")) fold.open = true;
  for (const box of document.querySelectorAll(".chart")) draw(box, { width: 680, height: box.matches(".small") ? 150 : 200 });
}

// One cursor for all pictures over the bed.
function startCursor() {
  for (const f of document.querySelectorAll("figure")) {
    const over = f.matches(".on-bed") ? f : f.querySelector(".on-bed");
    if (!over) continue;
    f.append(Object.assign(document.createElement("div"), { className: "cursor" }));
    over.addEventListener("pointermove", (e) => {
      const box = over.getBoundingClientRect(), [l, r] = [margin("--l"), margin("--r")].map((p) => parseFloat(p) / 100);
      const at = ((e.clientX - box.left) / box.width - l) / (1 - l - r);
      root.toggleAttribute("data-cursor", at >= 0 && at <= 1);
      root.style.setProperty("--at", at);
    });
    over.addEventListener("pointerleave", () => root.removeAttribute("data-cursor"));
  }
}
