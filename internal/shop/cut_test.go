package shop

import (
	"math"
	"testing"

	"footwork/supports/cut"
)

// Scraping is not said to reach what the survey cannot see: two standard deviations, nor less
// than a pass or what may be left; moves are weighed alike, and no route makes it worse.
func TestRoutes(t *testing.T) {
	beds := func(zone, sigma float64) (out []cut.Result) { // 95 % of them within two sigma
		for k := range 400 {
			out = append(out, cut.Result{Zone: zone + 2*sigma*(float64(k)-199.5)/190})
		}
		return out
	}
	wish := cut.Wish{DepthPerPass: 3e-6}
	for _, c := range []struct {
		what, route string
		now, after  []cut.Result
		until, want float64
	}{
		{"as far as it can be told", "scrape", beds(30e-6, 4e-6), nil, 0, 8e-6},
		{"a pass", "scrape", beds(30e-6, 1e-6), nil, 0, 3e-6},
		{"what may be left", "scrape", beds(30e-6, 1e-6), nil, 6e-6, 6e-6},
		{"within it already", "scrape", beds(2e-6, 0.9e-6), nil, 0, 2e-6},
		{"moves alone", "move feet", beds(30e-6, 4e-6), beds(12e-6, 2.5e-6), 0, 12e-6},
		{"both", "both", beds(30e-6, 4e-6), beds(12e-6, 2.5e-6), 0, 5e-6},
	} {
		for i := range c.now {
			c.now[i].Faces = []cut.Face{{Hours: 9}}
		}
		for i := range c.after {
			c.after[i].Faces = []cut.Face{{Hours: 4}}
		}
		wish.Until = c.until
		found := false
		for _, r := range routes(c.now, c.after, wish) {
			found = found || r.Name == c.route
			if r.Name == c.route && math.Abs(r.Zone-c.want) > 0.02*c.want {
				t.Errorf("%s: %g, want %g", c.what, r.Zone, c.want)
			}
			if hours := map[string]float64{"scrape": 9, "both": 4}[r.Name]; r.Hours != hours {
				t.Errorf("%s: %g h to %s", c.what, r.Hours, r.Name)
			}
		}
		if !found {
			t.Errorf("no route %q", c.route)
		}
	}
}
