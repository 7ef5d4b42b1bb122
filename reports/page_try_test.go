package reports

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// TestCopyAsText: the button copies what the text field shows, by the clipboard
// or, where the browser gives none, by selecting it.
func TestCopyAsText(t *testing.T) {
	tab := invented(t)
	tab.click("#try-plan")
	want := eval[string](tab, `document.getElementById("try-text").value`)
	for _, line := range []string{"Surface grinder bed, bay 2", "standing: shop floor", "moves:", "expected: After step", "loads: F1 "} {
		if !strings.Contains(want, line) {
			t.Errorf("the text lacks %q:\n%s", line, want)
		}
	}
	eval[bool](tab, `(window.got = [], navigator.clipboard.writeText = async (s) => { got.push(s); }, true)`)
	tab.click("#try-copy")
	eval[bool](tab, `(navigator.clipboard.writeText = async () => { throw new Error("denied"); },
		document.addEventListener("copy", () => { const a = document.activeElement; got.push(a.value.slice(a.selectionStart, a.selectionEnd)); }), true)`)
	tab.click("#try-copy")
	got := eval[[]string](tab, `new Promise((done) => setTimeout(() => done(got), 300))`)
	if len(got) != 2 || got[0] != want || got[1] != want {
		t.Errorf("copied %q, want twice\n%s", got, want)
	}
	eval[bool](tab, `(delete navigator.clipboard.writeText, document.getElementById("try-text-fold").open = false, true)`)
	tab.quiet()
}

// TestShimsAreTried: a foot on shims moves by stacks of the leaves at hand, at
// most four, within the most that a foot may be moved.
func TestShimsAreTried(t *testing.T) {
	p := fixture(t)
	leaves := []float64{20e-6, 50e-6, 100e-6}
	p.Try.Feet[2].Kind, p.Try.Feet[2].Shims = "shim", leaves
	tab := open(t, render(t, p), window{width: 1000, height: 800})
	sums := map[int]bool{}
	for a := range 5 { // by brute force, in micrometres
		for b := range 5 - a {
			for c := range 5 - a - b {
				if s := 20*a + 50*b + 100*c; s <= 250 {
					sums[s], sums[-s] = true, true
				}
			}
		}
	}
	most := eval[int](tab, `Number(document.getElementById("slide-2").max)`)
	if most != len(sums)/2 {
		t.Errorf("%d stacks, want %d", most, len(sums)/2)
	}
	for k := -most; k <= most; k++ {
		eval[bool](tab, fmt.Sprintf(`(() => { const s = document.getElementById("slide-2"); s.value = %d; s.dispatchEvent(new Event("input")); return true; })()`, k))
		raise := eval[float64](tab, `footwork.moves()[2] * 1e6`)
		if !sums[int(math.Round(raise))] || math.Abs(raise-math.Round(raise)) > 1e-6 {
			t.Errorf("step %d is %g µm, which no leaves make", k, raise)
		}
	}
	for typed, want := range map[string]string{"118": "put in 20.0\u00a0µm + 100.0\u00a0µm", "-52": "take out 50.0\u00a0µm", "9999": "put in"} {
		eval[bool](tab, fmt.Sprintf(`(() => { const n = document.getElementById("number-2"); n.value = %q; n.dispatchEvent(new Event("change")); return true; })()`, typed))
		if got := eval[string](tab, `document.querySelectorAll(".far")[2].textContent`); !strings.HasPrefix(got, want) {
			t.Errorf("%s µm: %q, want %q", typed, got, want)
		}
	}
	if got := eval[float64](tab, `footwork.moves()[2] * 1e6`); got > 250.001 {
		t.Errorf("typed beyond the most: %g µm", got)
	}
	tab.quiet()
}
