package export

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// formulaStart holds what makes a spreadsheet take a cell for a formula, in both widths, and the
// apostrophe that keeps it from doing so.
const formulaStart = "=+-@＝＋－＠'"

// checkCell refuses text a row of the list can not carry.
func checkCell(s string) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("text %q is not UTF-8", s)
	}
	for _, r := range s {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r == '\ufeff' {
			return fmt.Errorf("text %q has the control character %U, which is not allowed", s, r)
		}
	}
	return nil
}

// guard puts an apostrophe where a spreadsheet would start to read a formula: at the start of the
// text, and after a semicolon, where an office program of a comma-decimal country starts a new cell.
// Spaces before it do not protect. unguard undoes it exactly.
func guard(s string) string {
	var b strings.Builder
	start := true
	for _, r := range s {
		if start && strings.ContainsRune(formulaStart, r) {
			b.WriteByte('\'')
		}
		start = startsCell(start, r)
		b.WriteRune(r)
	}
	return b.String()
}

func unguard(s string) string {
	var b strings.Builder
	start := true
	for _, r := range s {
		if start && r == '\'' {
			start = false
			continue
		}
		start = startsCell(start, r)
		b.WriteRune(r)
	}
	return b.String()
}

// startsCell reports whether a cell may begin after r, given whether one could begin at r.
func startsCell(start bool, r rune) bool { return r == ';' || start && unicode.IsSpace(r) }

// appendRow appends the cells as one RFC 4180 record with CRLF; cells are quoted only where they must
// be. Cells hold no line breaks.
func appendRow(buf []byte, cells []string) []byte {
	for i, c := range cells {
		if i > 0 {
			buf = append(buf, ',')
		}
		if !strings.ContainsAny(c, ",;\"") && strings.TrimSpace(c) == c {
			buf = append(buf, c...)
			continue
		}
		buf = append(buf, '"')
		buf = append(buf, strings.ReplaceAll(c, `"`, `""`)...)
		buf = append(buf, '"')
	}
	return append(buf, '\r', '\n')
}
