// The page: its switches, and what begins when.
function show(name, value) {
  shown[name] = root.dataset[name] = value;
  if (name === "units") reprint();
  if (name !== "state") answerAgain();
  drawSoon();
}

function answerAgain() {
  if (!trial) return;
  rows.forEach((row) => row.slider && Object.assign(row.slider, { min: -reach() * 1e9, max: reach() * 1e9 }));
  answer();
}

function startSwitches() {
  for (const name of ["units", "state", "table"]) {
    for (const input of document.getElementsByName(name)) {
      input.checked = input.value === shown[name];
      input.addEventListener("change", () => show(name, input.value));
    }
  }
}

// scrollable tables can be reached by the keyboard, and only those.
function startTables() {
  for (const box of document.querySelectorAll(".scroll")) {
    if (box.scrollWidth <= box.clientWidth + 1) continue;
    box.tabIndex = 0;
    box.setAttribute("role", "region");
    box.setAttribute("aria-label", box.querySelector("caption").textContent);
  }
}

for (const d of document.querySelectorAll("details.numbers")) d.open = false;
startSwitches();
startTrial();
startSheet();
startCursor();
startTables();
drawSoon();
root.dataset.ready = "yes";
performance.mark("ready");
addEventListener("resize", () => { clearTimeout(drawSoon.later); drawSoon.later = setTimeout(() => { startTables(); drawSoon(); }, 120); });
addEventListener("beforeprint", forPaper);
addEventListener("afterprint", drawSoon);
document.addEventListener("toggle", startTables, true);
globalThis.footwork = { raised, zone, turn: byHand, load: () => load(planned()), typed }; // for tests, and the curious
