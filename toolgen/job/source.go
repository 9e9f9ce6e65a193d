package job

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"platen/toolgen/finding"
)

// source is the text of a file, to find places in it.
type source struct {
	file  string
	text  string
	lines []string // without their line ends
	last  cursor
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
	off, col := 0, 1
	if s.last.line == p.Line && s.last.col <= p.Col {
		off, col = s.last.off, s.last.col
	}
	for ; col < p.Col && off < len(l); col++ {
		_, n := utf8.DecodeRuneInString(l[off:])
		off += n
	}
	s.last = cursor{p.Line, col, off}
	return l[off:]
}

// cursor is the place found last: a walk along a line of many values goes over it once.
type cursor struct{ line, col, off int }

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
	const before, after = 60, 40
	line := s.lines[p.Line-1]
	right := s.at(p)
	left := line[:len(line)-len(right)]
	l, lead, tail := make([]rune, 0, before+after), "", ""
	if p.Col > before+1 && utf8.RuneCountInString(line) > before+after {
		lead = "..."
		for range before {
			_, w := utf8.DecodeLastRuneInString(left)
			right, left = line[len(left)-w:], left[:len(left)-w]
		}
	} else {
		right = line
	}
	for _, r := range right {
		if len(l) == before+after {
			tail = "..."
			break
		}
		l = append(l, r)
	}
	col := len(lead) + min(p.Col-1, before)
	if lead == "" {
		col = p.Col - 1
	}
	for i, r := range l {
		if !unicode.IsPrint(r) { // tabs and what could steer a terminal
			l[i] = ' '
		}
	}
	head := fmt.Sprintf("%5d | ", p.Line)
	body := strings.TrimRight(lead+string(l)+tail, " ")
	return strings.TrimRight(head+body, " ") + "\n" +
		strings.Repeat(" ", len(head)-2) + "| " + strings.Repeat(" ", col) + "^"
}
