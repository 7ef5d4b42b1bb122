package job

import (
	"fmt"
	"footwork/internal/unit"
	"strings"
	"testing"
)

// walk visits every key of a table and of those below it.
func walk(k *key, path string, visit func(path string, k *key)) {
	for i := range k.keys {
		below := &k.keys[i]
		at := strings.TrimPrefix(path+"."+below.name, ".")
		visit(at, below)
		walk(below, at, visit)
	}
}

// everyKey writes a document that has every key of the table in every company:
// all keys of a table together, all but each one, and every option of a choice.
func everyKey(b *strings.Builder, k *key, path string) {
	write := func(leave string, option string) {
		if path != "" {
			fmt.Fprintf(b, "%s\n", k.header(path))
		}
		for i := range k.keys {
			below := &k.keys[i]
			switch {
			case below.isTable() && !below.oneLine, below.name == leave:
			case option != "" && below.form == formChoice && strings.Contains(option, below.name+" = "):
				fmt.Fprintf(b, "%s\n", option)
			default:
				fmt.Fprintf(b, "%s\n", below.assignment())
			}
		}
		for i := range k.keys {
			if below := &k.keys[i]; below.isTable() && !below.oneLine && below.name != leave && option == "" && leave == "" {
				everyKey(b, below, strings.TrimPrefix(path+"."+below.name, "."))
			}
		}
	}
	write("", "")
	if k.form != formTables {
		return
	}
	for _, below := range k.keys {
		write(below.name, "")
		for _, option := range below.options {
			write("", fmt.Sprintf("%s = %q", below.name, option))
		}
	}
}

// Every key of the table is read. That every key read is in the table, the
// reader itself insists on.
func TestEveryKeyIsRead(t *testing.T) {
	var doc strings.Builder
	everyKey(&doc, &jobTable, "")
	s := &source{file: "job.toml", open: noFiles, asked: map[string]bool{}}
	j, err := s.read([]byte(doc.String()))
	if j != nil || err == nil {
		t.Fatal("a document with everything cannot be right")
	}
	for _, f := range s.faults {
		if strings.Contains(f.Message, "unknown key") || strings.Contains(f.Message, "cannot be read: expected") {
			t.Errorf("%v", f)
		}
	}
	walk(&jobTable, "", func(path string, k *key) {
		if !s.asked[path] {
			t.Errorf("%s is in the table, but nobody reads it", path)
		}
	})
}

// What the table says of a key is itself taken: its example in both systems, its
// default and its limits; and it says something.
func TestTableIsRight(t *testing.T) {
	if lengthUncertainty.must(lengthUncertainty.least) >= lengthUncertainty.must(lengthUncertainty.most) {
		t.Error("no height has an uncertainty")
	}
	walk(&jobTable, "", func(path string, k *key) {
		if k.help == "" || (k.example == "" && !k.isTable()) {
			t.Errorf("%s says too little", path)
		}
		if k.form != formQuantity {
			return
		}
		for _, text := range []string{k.example, inSystem(k.example, unit.Inches)} {
			if v, err := k.read(text); err != nil {
				t.Errorf("%s = %q: %v", path, text, err)
			} else if k.usual != [2]string{} && !(v >= k.want.must(k.usual[0]) && v <= k.want.must(k.usual[1])) {
				t.Errorf("%s = %q is unusual", path, text)
			}
		}
		if v, _, err := k.parsed(k.absent); err == nil && k.want.check(k.absent, v) != nil {
			t.Errorf("%s: its default %s is not taken", path, k.absent)
		}
		if k.want.must(k.want.least) >= k.want.must(k.want.most) {
			t.Errorf("%s: nothing lies between %s and %s", path, k.want.least, k.want.most)
		}
	})
}
