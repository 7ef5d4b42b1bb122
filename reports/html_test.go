package reports

import (
	"bytes"
	"os"
	"testing"
)

func render(tb testing.TB, p Page) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := WriteHTML(&b, p); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// TestKeepPage writes the invented page to the file named by KEEP_PAGE.
func TestKeepPage(t *testing.T) {
	name := os.Getenv("KEEP_PAGE")
	if name == "" {
		t.Skip("KEEP_PAGE names no file")
	}
	if err := os.WriteFile(name, render(t, fixture(t)), 0o644); err != nil {
		t.Fatal(err)
	}
}
