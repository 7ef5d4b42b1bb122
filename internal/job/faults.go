package job

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"footwork/internal/unit"
)

// Faults is every fault of a job, by file and line.
type Faults []unit.Fault

func (f Faults) Error() string {
	return strings.Join(unit.Names(f, unit.Fault.Error), "\n")
}

// Count is how many faults there are, those not listed among them.
func (f Faults) Count() int {
	n := len(f)
	for _, fault := range f {
		n += max(0, fault.Also-1)
	}
	return n
}

// mostListed is how many faults anybody reads, and mostKept how many are kept to
// list the first of them.
const (
	mostListed = 100
	mostKept   = 1000
)

// listed returns the first faults, and one that counts the rest and those beyond.
func (f Faults) listed(beyond int) Faults {
	more := beyond + len(f) - mostListed
	if more <= 0 {
		return f
	}
	return append(f[:mostListed:mostListed], unit.Fault{File: f[0].File, Message: fmt.Sprintf("%d further faults are not listed", more), Also: more})
}

// sorted returns the faults by file and line, the job file's first, each once.
func (f Faults) sorted(first string) Faults {
	beside := map[string]int{first: -1} // all others: 0
	slices.SortFunc(f, func(a, b unit.Fault) int {
		return cmp.Or(beside[a.File]-beside[b.File], cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Key, b.Key), cmp.Compare(a.Message, b.Message))
	})
	return slices.Compact(f)
}

// gathered returns sorted faults with those alike told once, at the first line.
func (f Faults) gathered() (list Faults) {
	lines := map[unit.Fault][]string{} // further ones, by what is said
	for _, fault := range f {
		said := fault
		said.Line = 0
		if _, told := lines[said]; !told {
			lines[said], list = nil, append(list, fault)
			continue
		}
		lines[said] = append(lines[said], strconv.Itoa(fault.Line))
	}
	for i, fault := range list {
		fault.Line = 0
		if also := lines[fault]; len(also) > 0 {
			list[i].Hint = strings.TrimPrefix(fault.Hint+"; the same at "+strings.Join(also[:min(len(also), mostNamed)], ", "), "; ")
			if len(also) > mostNamed {
				list[i].Hint += " and further"
			}
		}
	}
	return list
}

// mostNamed is how many further lines of a fault are named.
const mostNamed = 12
