// The bed on its feet: one-sided contact in compliance form,
//   minimise ½RᵀHR + cᵀR with Eq·R = b and R ≥ 0 unless held,
// by the dual active set of Goldfarb and Idnani (Math. Programming 27, 1983).
// Points that carry nothing leave the set of unknowns; the multipliers of Eq
// are the bed's rigid motion.

// gauss solves A·X = B in place for the columns of B, with row pivoting;
// returns false when A is singular.
function gauss(A, B) {
  const n = A.length;
  for (let k = 0; k < n; k++) {
    let p = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(A[i][k]) > Math.abs(A[p][k])) p = i;
    if (!(Math.abs(A[p][k]) > 1e-13)) return false;
    [A[k], A[p]] = [A[p], A[k]]; [B[k], B[p]] = [B[p], B[k]];
    for (let i = k + 1; i < n; i++) {
      const f = A[i][k] / A[k][k];
      if (f === 0) continue;
      for (let j = k; j < n; j++) A[i][j] -= f * A[k][j];
      for (let j = 0; j < B[i].length; j++) B[i][j] -= f * B[k][j];
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let j = 0; j < B[k].length; j++) {
      for (let i = k + 1; i < n; i++) B[k][j] -= A[k][i] * B[i][j];
      B[k][j] /= A[k][k];
    }
  }
  return true;
}

// scaled returns the problem with forces in units of the weight, heights in
// units of the mean compliance times the weight, and arms in units of the reach.
function scaled(t) {
  const n = t.c.length, weight = Math.abs(t.b[0]) || 1;
  const arm = t.eq.map((row) => Math.max(...row.map(Math.abs)) || 1);
  let soft = 0;
  for (let i = 0; i < n; i++) soft = Math.max(soft, Math.abs(t.h[i][i]));
  soft = soft || 1;
  return {
    n, weight, arm, soft, held: t.held,
    H: t.h.map((row) => row.map((v) => v / soft)),
    E: t.eq.map((row, k) => row.map((v) => v / arm[k])),
    b: t.b.map((v, k) => v / arm[k] / weight),
  };
}

// along returns how forces and rigid motion answer a right-hand side, with the
// points of off carrying nothing.
function along(s, off, top, bottom) {
  for (const prox of [0, 1e-10]) {
    const free = [];
    for (let i = 0; i < s.n; i++) if (!off.has(i)) free.push(i);
    const m = free.length, A = [], B = [];
    for (let a = 0; a < m; a++) {
      A.push([...free.map((j) => s.H[free[a]][j]), ...s.E.map((row) => row[free[a]])]);
      A[a][a] += prox;
      B.push([top[free[a]]]);
    }
    for (let k = 0; k < 3; k++) {
      A.push([...free.map((j) => s.E[k][j]), 0, 0, 0]);
      B.push([bottom[k]]);
    }
    if (!gauss(A, B)) continue;
    const R = new Array(s.n).fill(0);
    free.forEach((i, a) => { R[i] = B[a][0]; });
    return { R, rigid: [B[m][0], B[m + 1][0], B[m + 2][0]] };
  }
  return null;
}

// gapRate returns how the gap at point i grows with forces R and rigid motion.
function gapAt(s, i, R, rigid) {
  let g = 0;
  for (let j = 0; j < s.n; j++) g += s.H[i][j] * R[j];
  for (let k = 0; k < 3; k++) g += s.E[k][i] * rigid[k];
  return g;
}

// stand returns forces (N), gaps (m) and rigid motion for unloaded heights c,
// or null when no set of pushing feet balances the weight.
function stand(t, c) {
  const s = t.scaled ?? (t.scaled = scaled(t));
  const unit = s.soft * s.weight, cs = c.map((v) => v / unit), off = new Map();
  const first = along(s, off, cs.map((v) => -v), s.b);
  if (!first) return null;
  let { R, rigid } = first;
  for (let round = 0; round < 50 * (s.n + 1); round++) {
    let worst = -1, least = -1e-12;
    for (let i = 0; i < s.n; i++) if (!s.held[i] && !off.has(i) && R[i] < least) { least = R[i]; worst = i; }
    if (worst < 0) return finished(s, unit, cs, off, R, rigid);
    if (!(([R, rigid] = drive(s, off, worst, R, rigid)) && R)) return null;
  }
  return null;
}

// drive brings the force at one point up to nothing, letting points whose gap
// closes on the way come back into contact.
function drive(s, off, i, R, rigid) {
  let push = 0;
  for (;;) {
    const top = new Array(s.n).fill(0);
    top[i] = 1;
    const z = along(s, off, top, [0, 0, 0]);
    if (!z) return [null, null];
    let step = z.R[i] > 1e-11 ? -R[i] / z.R[i] : Infinity, closes = -1;
    for (const [j, gap] of off) {
      const rate = gapAt(s, j, z.R, z.rigid);
      if (rate < -1e-12 && -gap / rate < step) { step = -gap / rate; closes = j; }
    }
    if (step === Infinity) return [null, null];
    R = R.map((v, k) => v + step * z.R[k]);
    rigid = rigid.map((v, k) => v + step * z.rigid[k]);
    for (const [j, gap] of off) off.set(j, Math.max(0, gap + step * gapAt(s, j, z.R, z.rigid)));
    push += step;
    if (closes < 0) { R[i] = 0; off.set(i, push); return [R, rigid]; }
    off.delete(closes);
  }
}

// finished solves once more with the set that was found, so that no error of
// the way there stays, and returns to SI.
function finished(s, unit, cs, off, R, rigid) {
  const last = along(s, off, cs.map((v) => -v), s.b);
  if (last) ({ R, rigid } = last);
  const gap = cs.map((v, i) => off.has(i) ? Math.max(0, v + gapAt(s, i, R, rigid)) * unit : 0);
  return { R: R.map((v) => v * s.weight), gap, rigid: rigid.map((v, k) => v * unit / s.arm[k]) };
}

// raised returns how the bed of a trial stands with its feet raised (m): loads
// and gaps of the feet, heights of the ways.
function raised(t, raises) {
  const r = stand(t, t.c.map((v, i) => v - (t.foot[i] < 0 ? 0 : raises[t.foot[i]])));
  if (!r) return null;
  const loads = t.feet.map(() => 0), gaps = t.feet.map(() => Infinity);
  t.foot.forEach((f, i) => {
    if (f < 0) return;
    loads[f] += r.R[i];
    gaps[f] = Math.min(gaps[f], r.gap[i]);
  });
  const ways = t.ways.map((w) => w.x.map((x, i) => {
    let h = w.base[i] + r.rigid[0] + r.rigid[1] * x + r.rigid[2] * w.offset;
    for (let j = 0; j < r.R.length; j++) h += w.g[i][j] * r.R[j];
    return h;
  }));
  return { loads, gaps, ways, forces: r.R, pointGaps: r.gap };
}

// zone returns the least distance of two parallels that enclose a curve (minimum
// zone): one of them lies on an edge of its convex hull.
function zone(x, y) {
  const up = hull(x, y, 1), low = hull(x, y, -1);
  let least = Infinity;
  for (const [edge, other] of [[up, low], [low, up]]) {
    for (let i = 0; i + 1 < edge.length; i++) {
      const a = edge[i], slope = (y[edge[i + 1]] - y[a]) / (x[edge[i + 1]] - x[a]);
      let most = 0;
      for (const j of other) most = Math.max(most, Math.abs(y[j] - y[a] - slope * (x[j] - x[a])));
      least = Math.min(least, most);
    }
  }
  return x.length > 1 ? least : 0;
}

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

// aboutEnds returns y less the line through its ends.
function aboutEnds(x, y) {
  const n = x.length - 1, slope = n > 0 ? (y[n] - y[0]) / (x[n] - x[0]) : 0;
  return y.map((v, i) => v - y[0] - slope * (x[i] - x[0]));
}
