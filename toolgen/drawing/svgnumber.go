package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// svgScan takes numbers and letters off an attribute of SVG.
type svgScan struct {
	s  string
	at int
}

// mostNumber bounds the numbers of an SVG file, far beyond any page.
const mostNumber = 1e9

// skip passes blanks and, if commas, one comma between them.
func (s *svgScan) skip(comma bool) {
	for s.at < len(s.s) {
		switch c := s.s[s.at]; {
		case c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f':
		case c == ',' && comma:
			comma = false
		default:
			return
		}
		s.at++
	}
}

// number takes a number; no blank is needed where the next one begins with a sign or a second point.
func (s *svgScan) number() (float64, error) {
	s.skip(true)
	from := s.at
	digits := func() {
		for s.at < len(s.s) && s.s[s.at] >= '0' && s.s[s.at] <= '9' {
			s.at++
		}
	}
	sign := func() {
		if s.at < len(s.s) && (s.s[s.at] == '-' || s.s[s.at] == '+') {
			s.at++
		}
	}
	sign()
	digits()
	if s.at < len(s.s) && s.s[s.at] == '.' {
		s.at++
		digits()
	}
	if mark := s.at; s.at < len(s.s) && (s.s[s.at] == 'e' || s.s[s.at] == 'E') {
		s.at++
		sign()
		first := s.at
		if digits(); s.at == first {
			s.at = mark // the e of a unit: em, ex
		}
	}
	x, err := strconv.ParseFloat(s.s[from:s.at], 64)
	if err != nil || math.Abs(x) > mostNumber {
		return 0, fmt.Errorf("%s where a number of at most %g is expected", quoted([]byte(s.s[from:])), float64(mostNumber))
	}
	return x, nil
}

// numbers takes n numbers.
func (s *svgScan) numbers(dst []float64) error {
	for i := range dst {
		x, err := s.number()
		if err != nil {
			return err
		}
		dst[i] = x
	}
	return nil
}

// flag takes a 0 or 1; nothing need follow it.
func (s *svgScan) flag() (bool, error) {
	s.skip(true)
	if s.at < len(s.s) && (s.s[s.at] == '0' || s.s[s.at] == '1') {
		s.at++
		return s.s[s.at-1] == '1', nil
	}
	return false, fmt.Errorf("%s where the flag 0 or 1 of an arc is expected", quoted([]byte(s.s[s.at:])))
}

// more reports whether something follows.
func (s *svgScan) more() bool {
	s.skip(true)
	return s.at < len(s.s)
}

// mostNumbers bounds a list: two a point of the longest polygon.
const mostNumbers = 2 * (mostSegments + 1)

// numberList reads an attribute that is numbers and nothing else.
func numberList(text string) ([]float64, error) {
	s := svgScan{s: text}
	var out []float64
	for s.more() {
		x, err := s.number()
		if err != nil {
			return nil, err
		}
		if len(out) == mostNumbers {
			return nil, fmt.Errorf("a list of more than %d numbers", mostNumbers)
		}
		out = append(out, x)
	}
	return out, nil
}

// pixel is the length of a pixel, mm: 96 to the inch.
//
// SOURCE: CSS Values and Units Module Level 3, absolute lengths.
const pixel = 25.4 / 96

// svgUnits are the absolute units of a length, mm.
var svgUnits = map[string]Unit{
	"mm": Millimetre, "cm": {"cm", 10}, "in": Inch, "px": {"pixel", pixel}, "pt": {"point", 25.4 / 72}, "pc": {"pica", 25.4 / 6}, "q": {"quarter mm", 0.25},
}

// svgLength reads a length; the unit is zero where none is written, or per cent.
func svgLength(text string) (float64, Unit, error) {
	s := svgScan{s: strings.TrimSpace(text)}
	x, err := s.number()
	if err != nil {
		return 0, Unit{}, err
	}
	name := strings.ToLower(strings.TrimSpace(s.s[s.at:]))
	if name == "" || name == "%" {
		return x, Unit{Name: name}, nil
	}
	u, ok := svgUnits[name]
	if !ok {
		return 0, Unit{}, fmt.Errorf("the unit %s is not read: mm, cm, in, px, pt, pc or q", quoted([]byte(name)))
	}
	return x, u, nil
}
