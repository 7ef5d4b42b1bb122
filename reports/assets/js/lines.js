// Reference lines of a curve: each returns [height at x = 0, slope].
const lines = {
  ends(x, y) {
    const n = x.length - 1;
    const slope = n > 0 ? (y[n] - y[0]) / (x[n] - x[0]) : 0;
    return [y[0] - slope * x[0], slope];
  },
  least(x, y) {
    const n = x.length, mx = x.reduce((a, b) => a + b, 0) / n, my = y.reduce((a, b) => a + b, 0) / n;
    let xx = 0, xy = 0;
    for (let i = 0; i < n; i++) { xx += (x[i] - mx) ** 2; xy += (x[i] - mx) * (y[i] - my); }
    const slope = xx > 0 ? xy / xx : 0;
    return [my - slope * mx, slope];
  },
  // Middle line of the two parallels that enclose the curve with least height
  // between them: one of them lies on an edge of the convex hull.
  zone(x, y) {
    const up = hull(x, y, 1), low = hull(x, y, -1);
    let best = [0, 0], least = Infinity;
    for (const [edge, other] of [[up, low], [low, up]]) {
      for (let i = 0; i + 1 < edge.length; i++) {
        const a = edge[i], slope = (y[edge[i + 1]] - y[a]) / (x[edge[i + 1]] - x[a]);
        let most = 0;
        for (const j of other) {
          const d = y[j] - y[a] - slope * (x[j] - x[a]);
          if (Math.abs(d) > Math.abs(most)) most = d;
        }
        if (Math.abs(most) < least) { least = Math.abs(most); best = [y[a] + most / 2 - slope * x[a], slope]; }
      }
    }
    return best;
  },
};

// hull returns the indices of the upper (side = 1) or lower (−1) convex hull.
function hull(x, y, side) {
  const h = [];
  for (let i = 0; i < x.length; i++) {
    while (h.length > 1) {
      const a = h[h.length - 2], b = h[h.length - 1];
      if (side * ((x[b] - x[a]) * (y[i] - y[a]) - (y[b] - y[a]) * (x[i] - x[a])) < 0) break;
      h.pop();
    }
    h.push(i);
  }
  return h;
}

// about returns y less the chosen reference line.
function about(x, y) {
  const [c, slope] = lines[state.line](x, y);
  return y.map((v, i) => v - c - slope * x[i]);
}

// straightness returns the peak-to-valley about the chosen line.
function straightness(x, y) {
  const d = about(x, y);
  return Math.max(...d) - Math.min(...d);
}
