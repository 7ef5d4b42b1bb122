package job

import (
	"bytes"
	"slices"
	"unicode/utf8"
)

// MostBytes is more than the largest file that a person writes.
const MostBytes = 4 << 20

// deepest is how many brackets may be open at once: beyond it a file is no job.
const deepest = 200

// asText returns a job file's text without a byte-order mark; ok is false, and the
// reason reported, when it cannot be read as text at all.
func (s *source) asText(data []byte) (text []byte, ok bool) {
	data = slices.Clip(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")):
		s.report(1, "", "save it as UTF-8", "the file is saved as UTF-16")
		return nil, false
	case len(data) > MostBytes:
		s.report(1, "", "readings belong into CSV files beside it", "the file is far larger than a job")
		return nil, false
	case bytes.IndexByte(data, 0) >= 0:
		s.report(1, "", "write the job in a plain text editor and save it as UTF-8", "the file is no text")
		return nil, false
	case loneReturn(data) > 0:
		s.report(loneReturn(data), "", "save the file with line ends of Unix or Windows", "the line ends here as on old Macs, with CR alone")
		return nil, false
	case tooDeep(data) > 0:
		s.report(tooDeep(data), "", "close each [ and { where it belongs", "brackets are opened one within another without end")
		return nil, false
	case !utf8.Valid(data):
		line := 1
		for text := range bytes.Lines(data) {
			if !utf8.Valid(text) {
				break
			}
			line++
		}
		s.report(line, "", "save it as UTF-8", "the file is not UTF-8 text")
		return nil, false
	}
	return data, true
}

// loneReturn returns the line that ends in CR alone, 0 without one.
func loneReturn(data []byte) int {
	rest := bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	if i := bytes.IndexByte(rest, '\r'); i >= 0 {
		return 1 + bytes.Count(rest[:i], []byte("\n"))
	}
	return 0
}

// tooDeep returns the line where too many brackets are open at once, 0 when none is.
func tooDeep(data []byte) int {
	line, open := 1, 0
	for _, c := range data {
		switch c {
		case '\n':
			line++
		case '[', '{':
			open++
		case ']', '}':
			open = max(0, open-1)
		}
		if open > deepest {
			return line
		}
	}
	return 0
}
