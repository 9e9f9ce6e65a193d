package drawing

import (
	"bytes"
	"fmt"
	"math"
	"strconv"

	"platen/toolgen/geom"
)

// group is a code with its value, as a DXF file is made of.
type group struct {
	code int
	text []byte
}

// dxfScan splits a file into groups: a line with the code, a line with the value.
type dxfScan struct {
	rest []byte
	line int // lines taken
	at   int // line of the code of the group last taken
	err  string
}

// mostTail is how many bytes of blanks may follow the last group.
const mostTail = 16

// next returns the next group; ok is false at the end and on an error.
func (s *dxfScan) next() (g group, ok bool) {
	if s.err != "" || len(s.rest) <= mostTail && len(bytes.TrimSpace(s.rest)) == 0 {
		return group{}, false
	}
	s.at = s.line + 1
	code, _ := s.take()
	n, err := strconv.Atoi(string(code))
	if err != nil || n < -5 || n > 1071 {
		s.err = fmt.Sprintf("%s where a group code is expected", quoted(code))
		return group{}, false
	}
	text, ok := s.take()
	if !ok {
		s.err = "the file ends after a group code: it is cut off"
		return group{}, false
	}
	return group{n, text}, true
}

// take returns the next line without the blanks around it.
func (s *dxfScan) take() (line []byte, ok bool) {
	if len(s.rest) == 0 {
		return nil, false
	}
	s.line++
	line, s.rest, _ = bytes.Cut(s.rest, []byte("\n"))
	return bytes.TrimSpace(line), true
}

// quoted returns text for a message: printable and short.
func quoted(b []byte) string {
	const most = 40
	if len(b) > most {
		return strconv.QuoteToASCII(string(b[:most])) + "..."
	}
	return strconv.QuoteToASCII(string(b))
}

// entity is the groups from one code 0 to the next; a polyline also has its vertices.
type entity struct {
	kind     string
	line     int
	number   int
	groups   []group
	vertices []entity
}

// text returns the value of the first group with a code, empty where there is none.
func (e *entity) text(code int) string {
	for _, g := range e.groups {
		if g.code == code {
			return string(g.text)
		}
	}
	return ""
}

// badNumber is the panic with which a value that can not be read ends its entity; guard makes it a fault.
type badNumber struct{ text string }

// float returns the value of the first group with a code, or other where there is none.
func (e *entity) float(code int, other float64) float64 {
	for _, g := range e.groups {
		if g.code == code {
			return g.float()
		}
	}
	return other
}

func (e *entity) int(code int) int { return int(e.float(code, 0)) }

func (e *entity) has(code int) bool {
	for _, g := range e.groups {
		if g.code == code {
			return true
		}
	}
	return false
}

// point returns the values of code and code + 10.
func (e *entity) point(code int) geom.Vec2 {
	if !e.has(code) || !e.has(code+10) {
		panic(badNumber{fmt.Sprintf("has no point (group %d or %d is missing)", code, code+10)})
	}
	return geom.Vec2{X: e.float(code, 0), Y: e.float(code+10, 0)}
}

func (g group) float() float64 {
	x, err := strconv.ParseFloat(string(g.text), 64)
	if err != nil || math.IsNaN(x) || math.Abs(x) > 1e15 {
		panic(badNumber{fmt.Sprintf("has %s where a number of at most 1e15 is expected (group %d)", quoted(g.text), g.code)})
	}
	return x
}
