package test

import (
	"bytes"
	"math"
	"regexp"
	"strings"
	"testing"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/page"
)

func written(tb testing.TB, p *reports.Page) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := page.Write(&b, p); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// body returns the page without its scripts, style and data.
func body(html []byte) string {
	return regexp.MustCompile(`(?s)<(script|style).*?</(script|style)>`).ReplaceAllString(string(html), "")
}

// The page is the same bytes each time, under two megabytes, and names no address.
func TestPageStandsAlone(t *testing.T) {
	html := written(t, invented())
	if !bytes.Equal(html, written(t, invented())) {
		t.Error("the page differs from one writing to the next")
	}
	if len(html) > 2e6 {
		t.Errorf("%d bytes", len(html))
	}
	if m := regexp.MustCompile(`(?i)(src|href)="(https?:)?//`).Find(html); m != nil {
		t.Errorf("the page refers to %s", m)
	}
}

// No text of a job is ever markup.
func TestHostileTexts(t *testing.T) {
	const hostile = `</script><img src=x onerror=alert(1)>"'&`
	p := invented()
	p.Title, p.Standing, p.Standings[0].Name = hostile, hostile, hostile
	p.Adjust.Standing, p.Survey.Surveys[0].Name, p.Bed.Ways[0].Name = hostile, hostile, hostile
	p.Adjust.Warnings, p.Place.Placements[1].Pattern = []reports.Warning{reports.NotMatched{Because: hostile}}, hostile
	for i := range p.States {
		p.States[i].Bare.Name, p.States[i].Bare.Ways[0].Name, p.States[i].Bare.Feet[0].Name = hostile, hostile, hostile
	}
	html := written(t, p)
	if strings.Contains(body(html), "<img") || strings.Count(string(html), "</script>") != strings.Count(string(written(t, invented())), "</script>") {
		t.Error("a text of the job became markup")
	}
}

// What is no number is refused before anything is written.
func TestNoNumberOnThePage(t *testing.T) {
	for name, spoil := range map[string]func(*reports.Page){
		"loads":  func(p *reports.Page) { p.States[1].Bare.Feet[0].Load = math.NaN() },
		"curves": func(p *reports.Page) { p.States[1].Bare.Ways[0].Height = []float64{math.Inf(1)} },
		"plan":   func(p *reports.Page) { p.Adjust.Plans[2].Zone = math.NaN() },
		"inputs": func(p *reports.Page) { p.Bed.Material.Modulus = math.NaN() },
	} {
		p := invented()
		spoil(p)
		var b bytes.Buffer
		if err := page.Write(&b, p); err == nil || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, b.Len())
		}
	}
}

// Every section opens with its answer, and what the job has no data for is left out.
func TestSections(t *testing.T) {
	full := body(written(t, invented()))
	for _, id := range []string{"answer", "turn", "sheet", "parts", "measured", "journey", "place", "cut", "basis"} {
		if _, rest, ok := strings.Cut(full, `<section id="`+id+`"`); !ok || !strings.Contains(rest[:min(len(rest), 700)], `class="answer"`) {
			t.Errorf("section %s is not there or does not open with its answer", id)
		}
	}
	p := invented()
	p.Adjust, p.Match, p.Survey, p.Cut, p.Place, p.Change, p.Table = nil, nil, nil, nil, nil, nil, nil
	p.States = p.States[:1]
	p.States[0].Under, p.States[0].Travel = nil, nil
	bare := body(written(t, p))
	for _, id := range []string{"turn", "sheet", "parts", "measured", "journey", "place", "cut"} {
		if strings.Contains(bare, `<section id="`+id+`"`) {
			t.Errorf("section %s is there without its data", id)
		}
	}
	if !strings.Contains(bare, "Nothing was measured yet") || !strings.Contains(bare, "Add a [[survey]]") {
		t.Error("a bed without surveys is not told what to survey")
	}
}

// Without script the page is in the job's own units, and in no others.
func TestInchPageIsInch(t *testing.T) {
	p := invented()
	p.Units = unit.Inches
	text := regexp.MustCompile(`(?s)<g class="only-metric">.*?</g>`).ReplaceAllString(body(written(t, p)), "")
	text = regexp.MustCompile(`<[^>]*>`).ReplaceAllString(text, " ")
	if m := foreign(true).FindAllString(text, 5); m != nil {
		t.Errorf("metric on an inch page: %q", m)
	}
}

// foreign finds units, with a number or alone on their line, that do not belong on a page in
// inches, or in metric.
func foreign(inch bool) *regexp.Regexp {
	units := `thou|in|ft|lbf|lb|°F|in²|in³|in⁴|Mpsi|lb/in³|thou/ft|lbf/thou|lbf/in|thou/klbf|×10⁹ lbf·in²|×10³ in⁶|×10⁻⁶/°F`
	if inch {
		units = `µm|mm|cm|m|kN|N|kN/µm|N/mm|mm/m|°C|K|ml|GPa|MN·m²|cm²|cm⁴|dm⁶|kg|kg/m³|µm/kN|×10⁻⁶/K`
	}
	return regexp.MustCompile(`(?m).{0,30}\d[ \x{a0}](` + units + `)([\s.,;:)]|$)|^(` + units + `)$`)
}
