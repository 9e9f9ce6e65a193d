package job

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"platen/toolgen/finding"
)

// source is the text of a file, to find places in it.
type source struct {
	file  string
	text  string
	lines []string // without their line ends
}

func newSource(file, text string) *source {
	s := &source{file: file, text: text, lines: strings.Split(text, "\n")}
	for i, l := range s.lines {
		s.lines[i] = strings.TrimSuffix(l, "\r")
	}
	return s
}

// pos returns a place kept within the file: line and column count from 1, columns in characters.
func (s *source) pos(line, col int) finding.Pos {
	return finding.Pos{File: s.file, Line: min(max(line, 1), len(s.lines)), Col: max(col, 1)}
}

// first returns the place of the first character of a line that is not a space.
func (s *source) first(line int) finding.Pos {
	p := s.pos(line, 1)
	l := s.lines[p.Line-1]
	if t := strings.TrimLeft(l, " \t"); t != "" {
		p.Col = len(l) - len(t) + 1
	}
	return p
}

// at returns the text that starts at a place.
func (s *source) at(p finding.Pos) string {
	if p.Line < 1 || p.Line > len(s.lines) {
		return ""
	}
	l := s.lines[p.Line-1]
	for c := 1; c < p.Col && l != ""; c++ {
		_, n := utf8.DecodeRuneInString(l)
		l = l[n:]
	}
	return l
}

// before returns the text up to a place.
func (s *source) before(p finding.Pos) string {
	end := len(s.lines[p.Line-1]) - len(s.at(p))
	return strings.Join(s.lines[:p.Line-1], "\n") + "\n" + s.lines[p.Line-1][:end]
}

// excerpt returns the line of a place with a caret below it; a long line is cut around the place.
func (s *source) excerpt(p finding.Pos) string {
	if p.Line < 1 || p.Line > len(s.lines) {
		return ""
	}
	const before, width = 60, 100
	l := []rune(strings.ToValidUTF8(s.lines[p.Line-1], "?"))
	col, lead, tail := p.Col-1, "", ""
	if col > before && len(l) > width {
		from := min(col, len(l)) - before
		l, col, lead = l[from:], col-from+3, "..."
	}
	if len(l) > width {
		l, tail = l[:width], "..."
	}
	for i, r := range l {
		if r < ' ' || r == 0x7f {
			l[i] = ' '
		}
	}
	head := fmt.Sprintf("%5d | ", p.Line)
	body := strings.TrimRight(lead+string(l)+tail, " ")
	return strings.TrimRight(head+body, " ") + "\n" +
		strings.Repeat(" ", len(head)-2) + "| " + strings.Repeat(" ", col) + "^"
}
