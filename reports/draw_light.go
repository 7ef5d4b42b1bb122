package reports

import "footwork/internal/unit"

// lightRun is a stretch of the table's stroke over which a foot is "light" or "off".
type lightRun struct {
	from, to float64 // m, places of the table's left end
	state    string
}

// lightRuns returns the stretches over which a load is under light, or next to
// nothing, from its values at increasing places. A stretch ends where the load,
// drawn straight from place to place, crosses light.
func lightRuns(at, load []float64, light float64) []lightRun {
	state := func(i int) string { return stateOf(load[i], light) }
	var runs []lightRun
	from := 0
	start := at[0]
	for i := range at {
		if i+1 < len(at) && state(i+1) == state(i) {
			continue
		}
		end := at[i]
		if i+1 < len(at) {
			end += (at[i+1] - at[i]) * crossing(load[i], load[i+1], light)
		}
		if s := state(from); s != "" {
			runs = append(runs, lightRun{start, end, s})
		}
		from, start = i+1, end
	}
	return runs
}

// stateOf returns "" for a load that is enough, "light" or "off".
func stateOf(load, light float64) string {
	switch {
	case load <= 1e-3*light:
		return "off"
	case load < light:
		return "light"
	}
	return ""
}

// crossing returns where, as a share of the way from a to b, a load crosses
// light; the middle where it does not.
func crossing(a, b, light float64) float64 {
	if (a < light) == (b < light) {
		return 0.5
	}
	return (light - a) / (b - a)
}

// lightMap is one row a foot, the table's stroke from left to right.
type lightMap struct {
	feet  []string
	least []float64 // N
	runs  [][]lightRun
	from  float64 // m, the first place of the table's left end
	to    float64
	units unit.System
}

// lightMap returns the map of the journey, or nil when every foot keeps its load.
func (p *Page) lightMap() *lightMap {
	t, light := p.Travel, p.lightOnTravel()
	m := &lightMap{from: t.TableAt[0], to: t.TableAt[len(t.TableAt)-1], units: p.Units}
	some := false
	for f := range t.FootLoads[0] {
		loads := t.foot(f)
		runs := lightRuns(t.TableAt, loads, light)
		some = some || len(runs) > 0
		m.feet, m.least, m.runs = append(m.feet, t.FootName(f)), append(m.least, loads[lowest(loads)]), append(m.runs, runs)
	}
	if !some || m.to <= m.from {
		return nil
	}
	return m
}

func (m *lightMap) draw(width float64) *drawing {
	const row, top, left, right = 24.0, 22.0, 62.0, 92.0
	d := &drawing{w: width, h: top + row*float64(len(m.feet)) + 34}
	perMetre := (width - left - right) / (m.to - m.from)
	x := func(at float64) float64 { return left + (at-m.from)*perMetre }
	d.add(`<text class="note" text-anchor="end" x="%.1f" y="14">least, %s</text>`, width-6, unitOf(Force).within("tspan", m.units))
	for f, name := range m.feet {
		y := top + row*float64(f)
		d.text("foot-name", "start", 6, y+14, shortName(name, 6))
		d.rect("stroke", x(m.from), y+3, x(m.to)-x(m.from), row-8)
		for _, r := range m.runs[f] {
			d.lightRun(r, x, y+3, row-8)
		}
		d.quantity("foot-load", "end", width-6, y+14, bare(Force, m.least[f]), m.units)
	}
	d.ruler(x, d.h-26, perMetre, m.from, m.to)
	return d
}

// lightRun draws a stretch: stripes for light, an empty dashed box for nothing,
// and its word where there is room.
func (d *drawing) lightRun(r lightRun, x func(float64) float64, y, h float64) {
	d.rect("run "+r.state, x(r.from), y, x(r.to)-x(r.from), h)
	if r.state == "light" {
		for at := x(r.from) + 3; at < x(r.to); at += 5 {
			d.line("stripe", at, y, at, y+h)
		}
	}
	if x(r.to)-x(r.from) > 34 {
		d.text("flag halo", "middle", (x(r.from)+x(r.to))/2, y+h-4, r.state)
	}
}

// words says which foot is light where.
func (m *lightMap) words() prose {
	var feet []prose
	for f, name := range m.feet {
		for _, r := range m.runs[f] {
			what := map[string]string{"light": " is light", "off": " carries nothing"}[r.state]
			feet = append(feet, say(name, what, " from ", q(Spot, r.from), " to ", q(Spot, r.to)))
		}
	}
	return joined(feet)
}
