package job

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"platen/toolgen/finding"
)

// reader walks the node tree of one file.
type reader struct {
	src      *source
	faults   faults
	named    map[string]*named // section values
	bare     float64           // mm in a length without a unit
	defaults *Values           // section defaults; nil before it is read
	kinds    map[string]*kindKeys
	names    []string        // of kinds, as declared
	features map[string]int  // name of a feature -> line it was named on
	places   int             // of all features so far
	full     bool            // too many places, said once
	said     map[string]bool // faults of defaults already reported
}

// kindKeys is a kind with the keys of its features, frame keys first.
type kindKeys struct {
	kind   *Kind
	params []Param
}

func (r *reader) pos(n *yaml.Node) finding.Pos { return r.src.pos(n.Line, n.Column) }

func (r *reader) fault(p finding.Pos, format string, args ...any) {
	r.faults.add(Fault{Pos: p, Text: fmt.Sprintf(format, args...)})
}

// scope is one mapping being read.
type scope struct {
	where   string // "" at the top of the file, else e.g. `pocket "left"`
	keys    map[string]*yaml.Node
	nodes   map[string]*yaml.Node
	params  []Param  // declared
	unknown []string // keys written but not declared
}

// of returns key and owner for a message.
func (s *scope) of(key string) string {
	if s.where == "" {
		return fmt.Sprintf("%q", key)
	}
	return fmt.Sprintf("%q in %s", key, s.where)
}

func (s *scope) in() string {
	if s.where == "" {
		return ""
	}
	return " in " + s.where
}

// group reads a mapping of declared keys. n is nil where the user gave none: then every key stands
// at its default and nothing is required.
func (r *reader) group(n *yaml.Node, params []Param, where string, at finding.Pos) *Values {
	s := &scope{where: where}
	if n != nil && !r.open(n, s, params) {
		n = nil
	}
	return r.fill(s, params, at, n != nil)
}

// fill reads all declared keys of an opened scope.
func (r *reader) fill(s *scope, params []Param, at finding.Pos, given bool) *Values {
	v := newValues(params, at)
	for _, e := range v.list {
		r.value(s, e, at, given)
	}
	return v
}

func newValues(params []Param, at finding.Pos) *Values {
	v := &Values{pos: at, by: make(map[string]*value, len(params)), list: make([]*value, len(params))}
	all := make([]value, len(params))
	for i := range params {
		all[i].param = &params[i]
		v.list[i] = &all[i]
		v.by[params[i].Key] = &all[i]
	}
	return v
}

// open checks that n is a mapping of known keys, each written once, and notes them in s.
func (r *reader) open(n *yaml.Node, s *scope, params []Param) bool {
	if n.Kind != yaml.MappingNode {
		what := s.where
		if what == "" {
			what = "a job file"
		}
		r.faults.add(Fault{Pos: r.pos(n), Text: fmt.Sprintf("%s takes keys and values, not %s", what, form(n)), Allowed: keyList(params)})
		return false
	}
	s.params = params
	s.keys = make(map[string]*yaml.Node, len(n.Content)/2)
	s.nodes = make(map[string]*yaml.Node, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		if k.Kind != yaml.ScalarNode {
			r.fault(r.pos(k), "a key%s is one word, not %s", s.in(), form(k))
			continue
		}
		if first := s.keys[k.Value]; first != nil {
			r.fault(r.pos(k), "key %s%s is given twice, first on line %d", quote(k.Value), s.in(), first.Line)
			continue
		}
		s.keys[k.Value] = k
		s.nodes[k.Value] = n.Content[i+1]
		if !known(params, k.Value) {
			r.unknownKey(k, s, params)
		}
	}
	return true
}

func (r *reader) unknownKey(k *yaml.Node, s *scope, params []Param) {
	r.faults.add(Fault{
		Pos: r.pos(k), Text: fmt.Sprintf("unknown key %s%s", quote(k.Value), s.in()),
		Allowed: keyList(params), meant: meant{word: k.Value, names: keyNames(params)},
	})
	s.unknown = append(s.unknown, k.Value)
}

// misspelt reports whether one of the unknown keys of s was most likely meant for key.
func (s *scope) misspelt(key string, params []Param) bool {
	for _, u := range s.unknown[:min(len(s.unknown), mostFaults)] {
		if Nearest(u, keyNames(params)) == key {
			return true
		}
	}
	return false
}

func known(params []Param, key string) bool {
	for i := range params {
		if params[i].Key == key {
			return true
		}
	}
	return false
}

func keyNames(params []Param) []string {
	out := make([]string, len(params))
	for i := range params {
		out[i] = params[i].Key
	}
	return out
}

func keyList(params []Param) string { return strings.Join(keyNames(params), ", ") }

// empty reports whether a key stands without a value.
func empty(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && plainStyle(n) &&
		(n.Value == "" || n.Value == "~" || strings.EqualFold(n.Value, "null"))
}

func plainStyle(n *yaml.Node) bool {
	return n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0
}

// form names what a node is, for messages.
func form(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "keys and values"
	case yaml.SequenceNode:
		return "a list"
	}
	if empty(n) {
		return "nothing"
	}
	return quote(n.Value)
}

// value resolves one key: as written, else from the section defaults, else its own default.
func (r *reader) value(s *scope, e *value, at finding.Pos, required bool) {
	p := e.param
	if n := s.nodes[p.Key]; n != nil {
		e.given, e.pos = true, r.pos(s.keys[p.Key])
		if empty(n) {
			r.faults.add(Fault{Pos: e.pos, Text: "key " + s.of(p.Key) + " has no value", Allowed: p.takes()})
			e.data = r.fallback(s, p, e.pos)
			return
		}
		r.parse(s, e, n)
		return
	}
	if p.From != "" && r.defaults != nil && r.defaults.Given(p.From) {
		d := r.defaults.find(p.From)
		d.read.Store(true)
		e.data, e.pos = d.data, d.pos
		if f, ok := d.data.(float64); ok && !p.holds(f) && !r.said[p.From+" "+s.where] {
			r.said[p.From+" "+s.where] = true
			r.faults.add(Fault{Pos: d.pos, Text: fmt.Sprintf("%q in defaults, %s%s, is out of range for %s", p.From, short(f), p.unit(), s.of(p.Key)), Allowed: p.limits()})
		}
		return
	}
	if p.Required && required && !s.misspelt(p.Key, s.params) {
		r.faults.add(Fault{Pos: at, Text: "missing key " + s.of(p.Key), Allowed: p.takes()})
	}
	e.data = r.fallback(s, p, at)
}

// fallback returns what stands for a key without a value of its own.
func (r *reader) fallback(s *scope, p *Param, at finding.Pos) any {
	if p.Type == Group {
		return r.group(nil, p.Params, s.sub(p.Key), at)
	}
	return p.data()
}

// sub names a group inside s.
func (s *scope) sub(key string) string {
	switch {
	case s.where == "":
		return key
	case strings.Contains(s.where, "\""), strings.Contains(s.where, " "):
		return key + " of " + s.where
	}
	return s.where + "." + key
}
