package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"regexp"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"footwork/internal/unit"
)

// examplesOf returns the blocks of a help text that are shown as they stand.
func examplesOf(topic string) (blocks []string) {
	text, err := helpTexts.ReadFile("help/" + topic + ".txt")
	if err != nil {
		panic(err)
	}
	for _, block := range regexp.MustCompile(`(?m)(?:^    .*\n)+`).FindAllString(string(text), -1) {
		blocks = append(blocks, regexp.MustCompile(`(?m)^    `).ReplaceAllString(block, ""))
	}
	return blocks
}

// The manual's examples are right: what is of a job file is read in the good
// job's company, what is of a survey by the reader of surveys.
func TestHelpExamples(t *testing.T) {
	good, blocks := string(jobFile(t, "good")), 0
	for _, topic := range Topics() {
		for _, block := range examplesOf(topic) {
			blocks++
			switch {
			case strings.HasPrefix(block, "["):
				_, err := Read("job.toml", []byte(good+"\n"+block), func(file string) ([]byte, error) {
					switch file {
					case "front-level.csv":
						return []byte("run 1\n1\n2\n3\n"), nil
					case "bay-2-log.csv":
						return []byte(logExample()), nil
					}
					return beside("good")(file)
				})
				if err != nil {
					t.Errorf("%s: %v\n%s", topic, err, block)
				}
			case !strings.HasPrefix(block, "when,"):
				if _, faults := readCSV(block); len(faults) > 0 {
					t.Errorf("%s: %v\n%s", topic, faults, block)
				}
			}
		}
	}
	if blocks != 11 {
		t.Errorf("%d examples", blocks)
	}
}

func logExample() string { return examplesOf("log")[1] }

// Every topic is told in both systems; every key is shown; inches are inches.
func TestHelpTellsAll(t *testing.T) {
	for _, topic := range Topics() {
		if lines, err := Help(topic, "", unit.Metric); err != nil || len(lines) < 5 {
			t.Errorf("%s: %d lines, %v", topic, len(lines), err)
		}
	}
	lines, _ := Help("job", "", unit.Metric)
	text := strings.Join(lines, "\n")
	walk(&jobTable, "", func(path string, k *key) {
		want := k.assignment()
		if k.isTable() && !k.oneLine {
			want = k.header(path)
		}
		if !strings.Contains(text, want) {
			t.Errorf("help job does not show %s", want)
		}
	})
	inch, err := Help("job", "bed.rib", unit.Inches)
	if text := strings.Join(inch, "\n"); err != nil || !strings.Contains(text, `every = "18 in"`) || strings.Contains(text, " mm") {
		t.Errorf("%v\n%s", err, text)
	}
	diary, err := Help("log", "", unit.Inches)
	if text := strings.Join(diary, "\n"); err != nil || !strings.Contains(text, "shifts it by some 0.2 thou") || !strings.Contains(text, "900..1500 mm 2 passes, 6.4 µm") {
		t.Errorf("a shop that measures in inches: %v\n%s", err, text)
	}
	for _, bad := range [][2]string{{"cheese", ""}, {"job", "bed.cheese"}, {"job", "bed.length"}, {"log", "bed"}} {
		if _, err := Help(bad[0], bad[1], unit.Metric); err == nil {
			t.Errorf("there is help about %v", bad)
		}
	}
}

// By an independent reader of JSON Schema, the good job passes and its slips of
// form do not.
func TestSchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("job.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("job.json")
	if err != nil {
		t.Fatal(err)
	}
	validate := func(text string) error {
		var v map[string]any
		if err := toml.Unmarshal([]byte(text), &v); err != nil {
			return err
		}
		data, err := json.Marshal(v)
		if err != nil {
			return err
		}
		plain, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		return errors.Join(err, s.Validate(plain))
	}
	good := string(jobFile(t, "good"))
	if err := validate(good); err != nil {
		t.Errorf("the good job: %v", err)
	}
	for old, wrong := range map[string]string{
		`length   = "3900 mm"`: `lenght = "3900 mm"`, `material = "grey iron 30"`: `material = 30`, `allow = "high only"`: `allow = "high"`,
		`feet = [3, 4, 5]`: `feet = [3, 50]`, `held = true`: `held = "yes"`, `[table]`: `[[table]]`, `time_per_pass  = "50 min"`: ``,
	} {
		if validate(strings.Replace(good, old, wrong, 1)) == nil {
			t.Errorf("the schema takes %s", wrong)
		}
	}
}
