package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Caps on a file, checked before YAML builds anything from it.
const (
	mostBytes = 1 << 20
	mostDepth = 50
)

// parseYAML returns the text and the root of the one document of a file, or what is wrong with it.
func parseYAML(data []byte, file string) (*source, *yaml.Node, *Fault) {
	if len(data) > mostBytes {
		src := newSource(file, "")
		return src, nil, &Fault{Pos: src.pos(1, 1), Text: fmt.Sprintf("file of %d bytes; at most %d", len(data), mostBytes)}
	}
	src := newSource(file, string(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	if f := src.characters(); f != nil {
		return src, nil, f
	}
	if f := src.nesting(); f != nil {
		return src, nil, f
	}
	docs, err := documents(src.text, 2)
	switch {
	case err != nil:
		return src, nil, src.syntax(err)
	case len(docs) == 2:
		p := src.pos(docs[1].Line, docs[1].Column)
		return src, nil, &Fault{Pos: p, Text: "a second document begins here; a job file is one document"}
	case len(docs) == 0 || len(docs[0].Content) != 1 || blank(docs[0].Content[0]):
		return src, nil, &Fault{Pos: src.pos(1, 1), Text: "the file is empty", Allowed: keyList(Sections())}
	}
	return src, docs[0].Content[0], nil
}

// documents parses up to most documents.
func documents(text string, most int) ([]*yaml.Node, error) {
	d := yaml.NewDecoder(strings.NewReader(text))
	var docs []*yaml.Node
	for len(docs) < most {
		n := new(yaml.Node)
		if err := d.Decode(n); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return docs, err
		}
		docs = append(docs, n)
	}
	return docs, nil
}

// blank reports whether a document holds nothing at all.
func blank(n *yaml.Node) bool {
	return empty(n) && n.Value == "" && n.Anchor == "" && n.Style&yaml.TaggedStyle == 0
}

// characters refuses text that is not UTF-8, control characters, and line ends that editors and
// YAML count differently.
func (s *source) characters() *Fault {
	for i, l := range s.lines {
		col := 1
		for j, r := range l {
			bad := ""
			switch {
			case r == utf8.RuneError && !strings.HasPrefix(l[j:], "\uFFFD"):
				bad = fmt.Sprintf("byte %#02x is not UTF-8 text", l[j])
			case r == '\r':
				bad = "a carriage return within a line; lines end with LF or CR LF"
			case r < ' ' && r != '\t', r >= 0x7f && r < 0xa0, r == 0x2028, r == 0x2029, r == 0xfeff, r == 0xfffe, r == 0xffff:
				bad = fmt.Sprintf("character %U has no place in a job file", r)
			}
			if bad != "" {
				return &Fault{Pos: s.pos(i+1, col), Text: bad}
			}
			col++
		}
	}
	return nil
}

// nester follows brackets and indentation through a file.
type nester struct {
	indent []int     // columns of the open block levels
	open   []bracket // brackets not closed yet
	quote  byte      // of the text the line stands in, 0 outside
	lines  int       // read so far
}

type bracket struct {
	sign      byte // [ or {
	line, off int  // line from 1, bytes before it on the line
}

// nesting refuses deep nesting from a look at brackets and indentation alone, so that YAML never
// builds a deep tree. Where quotes or text blocks mislead it, it may miss depth, never invent as
// much as the cap within the longest text; the walk over the tree is exact.
func (s *source) nesting() *Fault {
	var n nester
	for i, l := range s.lines {
		if j := n.line(l); j >= 0 {
			return &Fault{Pos: s.pos(i+1, utf8.RuneCountInString(l[:j])+1), Text: tooDeep}
		}
	}
	return nil
}

var tooDeep = fmt.Sprintf("nested more than %d deep", mostDepth)

// line follows one line and returns the byte at which nesting grows too deep, -1 where it does not.
func (n *nester) line(l string) int {
	n.lines++
	i := 0
	if len(n.open) == 0 && n.quote == 0 {
		i = len(l) - len(strings.TrimLeft(l, " "))
		if i == len(l) || l[i] == '#' {
			return -1
		}
		for len(n.indent) > 0 && n.indent[len(n.indent)-1] >= i {
			n.indent = n.indent[:len(n.indent)-1]
		}
		n.indent = append(n.indent, i)
		for strings.HasPrefix(l[i:], "- ") || strings.HasPrefix(l[i:], "? ") {
			if len(n.indent) > mostDepth {
				return i
			}
			i += 2 + len(l[i+2:]) - len(strings.TrimLeft(l[i+2:], " "))
			n.indent = append(n.indent, i)
		}
	}
	begins := true // a value may begin at the next byte
	for ; i < len(l); i++ {
		c := l[i]
		switch {
		case n.quote == '"' && c == '\\':
			i++
			continue
		case n.quote != 0:
			if c == n.quote {
				n.quote = 0
			}
			continue
		case c == '#' && (i == 0 || l[i-1] == ' '):
			return -1
		case begins && (c == '"' || c == '\''):
			n.quote = c
		case (begins || len(n.open) > 0) && (c == '[' || c == '{'):
			n.open = append(n.open, bracket{c, n.lines, i})
		case len(n.open) > 0 && (c == ']' || c == '}'):
			n.open = n.open[:len(n.open)-1]
		}
		if len(n.open)+len(n.indent) > mostDepth {
			return i
		}
		begins = c == ' ' && (begins || i > 0 && l[i-1] == ':') || len(n.open) > 0 && strings.IndexByte("[{,:", c) >= 0
	}
	return -1
}

// allowed refuses what YAML offers beyond plain keys, lists and values, and nesting too deep.
func (r *reader) allowed(n *yaml.Node, depth int) bool {
	p := r.pos(n)
	start := r.src.at(p)
	good := false
	switch {
	case n.Kind == yaml.AliasNode:
		r.fault(p, "%s", noAlias)
		return false
	case n.Anchor != "", strings.HasPrefix(start, "&"):
		r.fault(p, "a job file has no anchors (&); write the values out where they are used")
	case n.Style&yaml.TaggedStyle != 0, strings.HasPrefix(start, "!"):
		r.fault(p, "%s", noTag)
	case depth > mostDepth:
		r.fault(p, "%s", tooDeep)
		return false
	default:
		good = true
	}
	for i, c := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && c.Kind == yaml.ScalarNode && c.Value == "<<" && plainStyle(c) {
			r.fault(r.pos(c), "a job file has no merge keys (<<); write the values out where they are used")
			good = false
			continue
		}
		good = r.allowed(c, depth+1) && good
	}
	return good
}

const (
	noAlias = "a job file has no aliases (*); write the values out where they are used"
	noTag   = "a job file has no tags (!); the key says what its value is"
)
