package doc

import (
	"strings"
	"testing"

	"footwork/internal/unit"
	"footwork/survey"
	"footwork/survey/agree"
)

// Every fact about a survey has words, with its sizes in the unit of the readings
// and its heights and places in the job's; an inch shop reads no micrometre.
func TestWordsForEveryDoubt(t *testing.T) {
	s := survey.Survey{Unit: "arcsec", Scale: unit.ArcSec, Base: 0.15, Start: 0.3}
	size := 3.2 * unit.ArcSec
	for _, c := range []struct {
		w    survey.Warning
		want string
	}{
		{survey.Warning{Kind: survey.Drifted, Run: "back", Than: "out", Size: size}, "drifted steadily by 3.2 arcsec between"},
		{survey.Warning{Kind: survey.Parted, Run: "run 2", Than: "run 1", Size: -size, Bow: 2e-6}, "run 2 comes to read 3.2 arcsec less than run 1, steadily from the first row to the last: one of them drifted, and the mean may be bowed by 2.0 µm; measure"},
		{survey.Warning{Kind: survey.Knocked, Run: "run 2", Row: 4, Size: size}, "run 2 reads 3.2 arcsec more than the others from reading 5 (at 900 mm) on: a knock"},
		{survey.Warning{Kind: survey.Misread, Run: "back", Than: "out", Row: 4, Size: size}, "at reading 5 (at 900 mm) alone"},
		{survey.Warning{Kind: survey.Shifted, Run: "run 2", Than: "run 1", Size: size, Apart: 8e-6, Bow: 1e-6}, "(at the far end the two are 8.0 µm apart); but if the zero drifted by this much in each run, it is bowed by 1.0 µm"},
		{survey.Warning{Kind: survey.TurnedSign, Run: "back", Than: "out", Size: -1}, "back has the opposite sign of out"},
		{survey.Warning{Kind: survey.OtherScale, Run: "back", Than: "out", Size: 2.04}, "back reads 2.04 times as much as out"},
		{survey.Warning{Kind: survey.WalkedOrder, Run: "back", Than: "out", Size: 0.7e-6, Other: 10e-6}, "the way is 0.7 µm out of straight with the rows as they stand, 10.0 µm with them turned round. Was it written down in the order walked?"},
		{survey.Warning{Kind: survey.Scattered, Size: size, Other: size / 4}, "scatter by 3.2 arcsec, more than the uncertainty given, 0.8 arcsec"},
		{survey.Warning{Kind: survey.Overstated, Size: size, Other: 1000 * size}, "by 3.2 arcsec only, and the uncertainty given is 3200.0 arcsec"},
		{survey.Warning{Kind: survey.AssumedNoise, Size: size}, "one run does not tell its own uncertainty; 3.2 arcsec is taken"},
		{survey.Warning{Kind: survey.CopiedRun, Size: size}, "agree in every digit"},
		{survey.Warning{Kind: survey.StepUnlikeBase, Size: 0.1524, Other: 0.15}, "the stations are 152.4 mm apart but the carriage's feet 150 mm"},
	} {
		if got := asciiOf(doubt(s, c.w), unit.Metric); !strings.Contains(got, c.want) {
			t.Errorf("%s\n got %s\nwant %s", c.w.Kind, got, c.want)
		}
		inch(t, asciiOf(doubt(s, c.w), unit.Inches))
	}
}

func inch(t *testing.T, words string) {
	t.Helper()
	if strings.Contains(words, "µm") || strings.Contains(words, "mm") {
		t.Errorf("in an inch shop: %s", words)
	}
}

func TestWordsForEveryContradiction(t *testing.T) {
	f := agree.Finding{Surveys: []string{"front", "back", "twist"}, Off: 12.3e-6, Noise: 0.6e-6, At: 1.275}
	if got := asciiOf(contradiction(f), unit.Metric); !strings.HasPrefix(got, `“front”, “back” and “twist” do not agree: at 1275 mm they are 12.3 µm apart, where their own noise is 0.6 µm; no single slip`) {
		t.Error(got)
	}
	for _, slip := range []agree.Slip{agree.TurnedSign, agree.Doubled, agree.Halved, agree.Division, agree.OtherUnit, agree.FarEnd, agree.FarRows, agree.Early, agree.Late, agree.Exchanged, agree.Warmed} {
		r := agree.Remedy{Slip: slip, Survey: "front", Times: 10, Bow: 5e-6}
		if slip == agree.Exchanged || slip == agree.Doubled {
			r.With = "back"
		}
		f.Remedy = append(f.Remedy, r)
	}
	if got := asciiOf(contradiction(f), unit.Metric); !strings.Contains(got, `They agree if either the signs of “front” are turned`) || !strings.Contains(got, `the files of “front” and “back” are exchanged`) ||
		!strings.Contains(got, `the readings of “front” and of “back” are the beam's angle`) || !strings.Contains(got, `one division of “front” is worth 10 times what is written`) {
		t.Error(got)
	}
	inch(t, asciiOf(contradiction(f), unit.Inches))
	f.Off = 0.02e-6 // something, though less than a height's last digit
	if got := asciiOf(contradiction(f), unit.Metric); !strings.Contains(got, "at 1275 mm they are 0.02 µm apart") {
		t.Error(got)
	}
	f.Across, f.Off = true, 3*unit.ArcSec
	if got := asciiOf(contradiction(f), unit.Metric); !strings.Contains(got, "3.0 arcsec apart") {
		t.Error(got)
	}
}
