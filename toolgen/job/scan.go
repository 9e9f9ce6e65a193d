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
		src := newSource(file, string(bytes.ToValidUTF8(data[:200], nil)))
		return src, nil, &Fault{Pos: src.pos(1, 1), Text: fmt.Sprintf("file of %d bytes; at most %d", len(data), mostBytes)}
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	src := newSource(file, string(data))
	if f := src.characters(); f != nil {
		return src, nil, f
	}
	if f := src.nesting(); f != nil {
		return src, nil, f
	}
	in := &trickle{data: data}
	d := yaml.NewDecoder(in)
	var doc yaml.Node
	if err := d.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return src, nil, &Fault{Pos: src.pos(1, 1), Text: "the file is empty", Allowed: keyList(Sections())}
		}
		return src, nil, src.syntax(err, in)
	}
	var second yaml.Node
	if err := d.Decode(&second); err == nil {
		return src, nil, &Fault{Pos: src.pos(second.Line, second.Column), Text: "a second document begins; a job file is one document"}
	} else if !errors.Is(err, io.EOF) {
		return src, nil, src.syntax(err, in)
	}
	if len(doc.Content) != 1 || empty(doc.Content[0]) && doc.Content[0].Anchor == "" && doc.Content[0].Style&yaml.TaggedStyle == 0 {
		return src, nil, &Fault{Pos: src.pos(1, 1), Text: "the file is empty", Allowed: keyList(Sections())}
	}
	return src, doc.Content[0], nil
}

// trickle hands a file over in small bites, so that the place where YAML gave up is known.
type trickle struct {
	data []byte
	read int
}

func (t *trickle) Read(p []byte) (int, error) {
	if t.read == len(t.data) {
		return 0, io.EOF
	}
	n := copy(p, t.data[t.read:min(t.read+1, len(t.data))])
	t.read += n
	return n, nil
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
			case r < ' ' && r != '\t', r >= 0x7f && r < 0xa0, r == 0x2028, r == 0x2029, r == 0xfeff:
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

// nesting refuses deep nesting from a look at brackets and indentation alone, so that YAML never
// builds a deep tree. It may miss depth where quotes hide it; the walk over the tree is exact.
func (s *source) nesting() *Fault {
	var indent []int
	flow := 0
	var quoted byte
	for i, l := range s.lines {
		t := strings.TrimLeft(l, " ")
		if t == "" || flow == 0 && quoted == 0 && t[0] == '#' {
			continue
		}
		if flow == 0 && quoted == 0 {
			at := len(l) - len(t)
			for len(indent) > 0 && indent[len(indent)-1] >= at {
				indent = indent[:len(indent)-1]
			}
			indent = append(indent, at)
			for strings.HasPrefix(t, "- ") || strings.HasPrefix(t, "? ") {
				rest := strings.TrimLeft(t[2:], " ")
				at += len(t) - len(rest)
				t = rest
				indent = append(indent, at)
			}
		}
		start := true // at the start of a value
		for j := 0; j < len(t); j++ {
			c := t[j]
			switch {
			case quoted == '"' && c == '\\':
				j++
			case quoted != 0:
				if c == quoted {
					quoted = 0
				}
			case c == '#' && (j == 0 || t[j-1] == ' '):
				j = len(t)
			case start && (c == '"' || c == '\''):
				quoted = c
			case (start || flow > 0) && (c == '[' || c == '{'):
				flow++
			case flow > 0 && (c == ']' || c == '}'):
				flow--
			}
			start = c == ' ' && start || flow > 0 && strings.IndexByte("[{,:", c) >= 0 || c == ':' || c == '-' && start || c == '?' && start || c == ' ' && j > 0 && t[j-1] == ':'
			if flow+len(indent) > mostDepth {
				return &Fault{Pos: s.pos(i+1, utf8.RuneCountInString(l[:len(l)-len(t)+min(j, len(t))])+1), Text: fmt.Sprintf("nested more than %d deep", mostDepth)}
			}
		}
	}
	return nil
}

// syntax re-words what YAML says of a file it can not read.
func (s *source) syntax(err error, in *trickle) *Fault {
	return &Fault{Pos: s.first(1 + bytes.Count(in.data[:in.read], []byte("\n"))), Text: err.Error()}
}

// allowed refuses what YAML offers beyond plain keys, lists and values, and nesting too deep.
func (r *reader) allowed(n *yaml.Node, depth int) bool {
	good := true
	no := func(what string) {
		good = false
		r.fault(r.pos(n), "%s", what)
	}
	start := r.src.at(r.pos(n))
	switch {
	case n.Kind == yaml.AliasNode:
		no("a job file has no aliases (*); write the values out")
		return false
	case n.Anchor != "" || strings.HasPrefix(start, "&"):
		no("a job file has no anchors (&); write the values out")
	case n.Style&yaml.TaggedStyle != 0 || strings.HasPrefix(start, "!"):
		no("a job file has no tags (!); the key says what its value is")
	case depth > mostDepth:
		no(fmt.Sprintf("nested more than %d deep", mostDepth))
		return false
	}
	for i, c := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && c.Kind == yaml.ScalarNode && c.Value == "<<" && plainStyle(c) {
			r.fault(r.pos(c), "a job file has no merge keys (<<); write the values out")
			good = false
			continue
		}
		good = r.allowed(c, depth+1) && good
	}
	return good
}
