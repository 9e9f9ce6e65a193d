package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"platen/toolgen/finding"
)

// ill is one way in which a file is not YAML: a part of what the parser says, and what we say.
// Where since is set, the parser names the line where the broken thing began, which is the place
// to show.
type ill struct {
	says, text string
	since      bool
	tail       string // what a cut needs behind it so that its end is not itself the fault
	close      bool   // a cut needs its open brackets closed
}

var ills = []ill{
	{says: "mapping values are not allowed", text: `": " where no key can stand; check the indentation, or put text with a colon in quotes`},
	{says: "found a tab character", text: "a tab; indent with spaces"},
	{says: "cannot start any token", text: "a value can not begin with this character; put it in quotes"},
	{says: "did not find expected key", text: "this does not fit the keys above; check indentation and quotes"},
	{says: "did not find expected '-' indicator", text: `this does not fit the list above; check indentation and "- "`},
	{says: "did not find expected ',' or ']'", text: `"]" or a comma is missing before this`, close: true},
	{says: "did not find expected ',' or '}'", text: `"}" or a comma is missing before this`, close: true},
	{says: "did not find expected node content", text: "a value is missing here", tail: "0"},
	{says: "could not find expected ':'", text: `this is no key with a value; write "key: value" with a space after the colon`, since: true},
	{says: "found unexpected end of stream", text: "quotes are opened here and never closed", since: true},
	{says: "found unexpected document indicator", text: "quotes are opened here and never closed", since: true},
	{says: "unknown escape character", text: `unknown escape in a text in double quotes; write \\ for a backslash`},
	{says: "hexdecimal number", text: `broken \x or \u in a text in double quotes; write \\ for a backslash`},
	{says: "invalid Unicode character", text: "no such character in a text in double quotes"},
	{says: "block sequence entries are not allowed", text: `a list in this form begins on the line below its key`},
	{says: "mapping keys are not allowed", text: `"? " has no place here`},
	{says: "unknown anchor", text: noAlias},
	{says: "did not find expected alphabetic or numeric character", text: "a value can not begin with & or *; put it in quotes"},
	{says: "found undefined tag handle", text: noTag},
	{says: "did not find the expected '>'", text: noTag},
	{says: "did not find expected '!'", text: noTag},
	{says: "did not find expected tag URI", text: noTag},
	{says: "URI escaped octet", text: noTag},
	{says: "did not find expected whitespace or line break", text: noTag},
	{says: "directive", text: "a job file has no directives (%)"},
	{says: "did not find expected digit or '.' character", text: "a job file has no directives (%)"},
	{says: "version number", text: "a job file has no directives (%)"},
	{says: "unexpected non-alphabetical character", text: "a job file has no directives (%)"},
	{says: "incompatible YAML document", text: "a job file has no directives (%)"},
	{says: "expected <document start>", text: `a second document begins here; a job file is one document`},
	{says: "indentation indicator", text: "after | or > the text begins on the next line"},
	{says: "did not find expected comment or line break", text: "after | or > the text begins on the next line"},
	{says: "exceeded max depth", text: tooDeep},
}

// searchBytes bounds the text parsed again to find the place of a syntax fault.
const searchBytes = 4 << 20

// syntax re-words what the parser says of a file that is not YAML, and finds the place: the parser
// gives a line at best, often that of the line above.
func (s *source) syntax(err error) *Fault {
	says := err.Error()
	i := ill{says: says, text: "this is not readable as YAML"}
	for _, c := range ills {
		if strings.Contains(says, c.says) {
			i = c
			break
		}
	}
	line := len(s.lines)
	if i.since {
		line = reported(says)
	}
	if open := brackets(s.text); i.close && len(open) > 0 && !s.refused(s.text, i) {
		b := open[len(open)-1]
		p := s.pos(b.line, utf8.RuneCountInString(s.lines[b.line-1][:b.off])+1)
		return &Fault{Pos: p, Text: fmt.Sprintf("%q is not closed", string(b.sign))}
	}
	p := s.locate(i, line)
	switch {
	case strings.HasPrefix(i.says, "unknown anchor"):
		l := s.lines[p.Line-1] // refused once its name is there, as a key once its colon is
		if j := strings.LastIndexByte(l[:len(l)-len(s.at(p))], '*'); j >= 0 {
			p.Col = utf8.RuneCountInString(l[:j]) + 1
		}
	case i.close:
		if open := brackets(s.before(p)); len(open) > 0 && open[len(open)-1].line < p.Line {
			i.text += fmt.Sprintf("; %q was opened on line %d", string(open[len(open)-1].sign), open[len(open)-1].line)
		}
	case strings.HasPrefix(s.at(p), "\t"):
		i.text = "a tab; indent with spaces"
	}
	return &Fault{Pos: p, Text: i.text}
}

// reported returns the line the parser names, or the last it can mean: parser errors count from 0,
// scanner errors from 1, line 0 is not named.
func reported(says string) int {
	if _, rest, ok := strings.Cut(says, "line "); ok {
		if n, err := strconv.Atoi(rest[:digits(rest)]); err == nil {
			return n + 1
		}
	}
	return 1
}

// refused reports whether a cut of the file is refused for the reason i.
func (s *source) refused(text string, i ill) bool {
	if i.close {
		text += "\n"
		for _, b := range slices.Backward(brackets(text)) {
			text += string(b.sign + 2) // ] follows [ by two, } follows { by two
		}
	}
	_, err := documents(text+i.tail, 2)
	return err != nil && strings.Contains(err.Error(), i.says)
}

// brackets returns the brackets a text leaves open.
func brackets(text string) []bracket {
	var n nester
	for l := range strings.Lines(text) {
		n.line(strings.TrimRight(l, "\r\n"))
	}
	return n.open
}

// locate returns the first character with which the file, cut off behind it, is refused for the
// given reason; from is a line that is not before it. The parser sees only what stands before a
// cut, so the answer is where the file goes wrong and not where the parser noticed.
func (s *source) locate(i ill, from int) finding.Pos {
	left := searchBytes
	ends := make([]int, 1, len(s.lines)+1) // ends[i]: byte behind line i
	for b := range len(s.text) {
		if s.text[b] == '\n' {
			ends = append(ends, b+1)
		}
	}
	ends = append(ends, len(s.text))
	wrong := func(text string) bool {
		left -= len(text) + 200
		return s.refused(text, i)
	}
	// Cut anywhere behind the place the reason stays the same, so halve first; but a file cut within
	// brackets or quotes is refused for them, so what begins there is sought line by line.
	lo, hi := 0, min(from, len(ends)-1)
	for !i.since && hi-lo > 8 && left > 0 {
		if m := (lo + hi) / 2; wrong(s.text[:ends[m]]) {
			hi = m
		} else {
			lo = m
		}
	}
	for hi > 1 && left > 0 && wrong(s.text[:ends[hi-1]]) {
		hi--
	}
	if hi > len(s.lines) || left <= 0 {
		return s.first(hi)
	}
	start := ends[hi-1]
	line := s.text[start:ends[hi]]
	n := len(line)
	for n > 0 && left > 0 {
		_, w := utf8.DecodeLastRuneInString(line[:n])
		if !wrong(s.text[:start+n-w]) {
			break
		}
		n -= w
	}
	if left <= 0 || n == 0 {
		return s.first(hi)
	}
	return s.pos(hi, utf8.RuneCountInString(strings.TrimRight(line[:n], "\r\n")))
}
