package reports

import (
	"testing"

	"footwork/internal/unit"
)

// Quantities in ready sentences follow the page's units; everything else stays.
func TestReadySentencesFollow(t *testing.T) {
	const text = "foot B3 stands 25.4 µm clear at 2540 mm and carries 4.45 kN; turn 12° up, 9 feet in all, stage 2"
	p := following(text)
	if got := p.plain(unit.Inches); got != "foot B3 stands 1.0\u00a0thou clear at 100\u00a0in and carries 1000\u00a0lbf; turn 12° up, 9 feet in all, stage 2" {
		t.Errorf("inch: %q", got)
	}
	if got := p.plain(unit.Metric); got != "foot B3 stands 25.4\u00a0µm clear at 2540\u00a0mm and carries 4.45\u00a0kN; turn 12° up, 9 feet in all, stage 2" {
		t.Errorf("metric: %q", got)
	}
	if got := following("lower by −1.0\u00a0thou").plain(unit.Metric); got != "lower by −25.4\u00a0µm" {
		t.Errorf("thou: %q", got)
	}
	if got := following("nothing to tell").plain(unit.Inches); got != "nothing to tell" {
		t.Errorf("plain: %q", got)
	}
}
