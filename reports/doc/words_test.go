package doc

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every type of doubt, and every kind of what surveys, the match, the planner and a job leave in doubt, is named
// where it is put into words.
func TestEveryDoubtHasWords(t *testing.T) {
	worded, names := map[string]bool{}, 0
	files, _ := filepath.Glob("*.go")
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil || strings.HasSuffix(f, "_test.go") {
			continue
		}
		for _, name := range regexp.MustCompile(`\w+\.\w+`).FindAllString(string(text), -1) {
			worded[name] = true
		}
	}
	for file, of := range map[string]string{"../warning.go": "reports", "../stand.go": "reports", "../../survey/slips.go": "survey", "../../survey/match/doubt.go": "match", "../../supports/plan/answer.go": "plan"} {
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range doubts(tree) {
			names++
			if !worded[of+"."+name] {
				t.Errorf("%s: no words for %s", file, name)
			}
		}
	}
	if names < 70 {
		t.Errorf("only %d kinds of doubt were found", names)
	}
}

// doubts returns the types of warning.go, and the constants of another file whose type is a kind.
func doubts(tree *ast.File) (names []string) {
	kind := regexp.MustCompile(`^(Doubt|Warning)?Kind$`)
	for _, d := range tree.Decls {
		group, ok := d.(*ast.GenDecl)
		if !ok {
			continue
		}
		of := ""
		for _, one := range group.Specs {
			switch one := one.(type) {
			case *ast.TypeSpec:
				if group.Lparen.IsValid() {
					names = append(names, one.Name.Name)
				}
			case *ast.ValueSpec:
				if id, typed := one.Type.(*ast.Ident); typed {
					of = id.Name
				}
				if group.Tok == token.CONST && kind.MatchString(of) {
					names = append(names, one.Names[0].Name)
				}
			}
		}
	}
	return names
}
