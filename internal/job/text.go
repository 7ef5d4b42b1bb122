package job

import (
	"bytes"
	"unicode/utf8"
)

// MostBytes is more than the largest file that a person writes.
const MostBytes = 4 << 20

// deepest is how many brackets may be open at once: beyond it a file is no job.
const deepest = 200

// noText says why a job file without its byte-order mark cannot be read as text at all, in
// which line, and what to do; "" where it can.
func noText(data []byte) (line int, message, hint string) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")):
		return 1, "the file is saved as UTF-16", "save it as UTF-8"
	case len(data) > MostBytes:
		return 1, "the file is far larger than a job", "readings belong into CSV files beside it"
	case bytes.IndexByte(data, 0) >= 0:
		return 1, "the file is no text", "write the job in a plain text editor and save it as UTF-8"
	case loneReturn(data) > 0:
		return loneReturn(data), "the line ends here as on old Macs, with CR alone", "save the file with line ends of Unix or Windows"
	case tooDeep(data) > 0:
		return tooDeep(data), "brackets are opened one within another without end", "close each [ and { where it belongs"
	}
	for text := range bytes.Lines(data) {
		if line++; !utf8.Valid(text) {
			return line, "the file is not UTF-8 text", "save it as UTF-8"
		}
	}
	return 0, "", ""
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
