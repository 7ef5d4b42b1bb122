package reports

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footwork/internal/unit"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// textGolden compares with a file under testdata, or rewrites it.
func textGolden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", path, diff)
	}
}

func textOf(t interface{ Fatal(...any) }, v View, o TextOptions) string {
	var b strings.Builder
	if err := WriteText(&b, v, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestTextGolden(t *testing.T) {
	for _, v := range textViews {
		textGolden(t, v.name+"-metric.txt", textOf(t, v.view, TextOptions{}))
		textGolden(t, v.name+"-inch.txt", textOf(t, v.view, TextOptions{Units: unit.Inches, ASCII: true}))
	}
}
