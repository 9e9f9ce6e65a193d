package job

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"platen/toolgen/finding"
)

// mostNames is the largest number of named values.
const mostNames = 500

// Named is one of the values a job names.
type Named struct {
	Name  string
	Text  string  // as written
	Value float64 // mm, deg, degC or plain; of a number without a unit as written
	Of    string  // what it is: "a length", "a number without a unit" ...
	Pos   finding.Pos
}

// named is a value of the section values while it is read.
type named struct {
	key, node *yaml.Node
	state     uint8
	q         quantity
}

const (
	untouched uint8 = iota
	asked           // being reckoned: met again, it goes round in a circle
	reckoned
	broken // and told
)

// namedValues reads the section values. Its entries may use each other in any order.
func (r *reader) namedValues(s *scope, n *yaml.Node) ([]Named, bool) {
	if n.Kind != yaml.MappingNode {
		r.faults.add(Fault{Pos: r.pos(n), Text: fmt.Sprintf("%s takes names and numbers, not %s", s.of("values"), form(n)), Allowed: namedTakes})
		return nil, false
	}
	if k := len(n.Content) / 2; k > mostNames {
		r.fault(r.pos(n), "%d named values; at most %d", k, mostNames)
		return nil, false
	}
	r.named = map[string]*named{}
	var order []string
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		switch first := r.named[k.Value]; {
		case k.Kind != yaml.ScalarNode || !isName(k.Value):
			r.faults.add(Fault{Pos: r.pos(k), Text: fmt.Sprintf("%s can not name a value", form(k)), Allowed: "a small letter, then small letters, digits and _"})
		case takenName(k.Value):
			r.fault(r.pos(k), "%s is taken: it is a function, a unit or a constant of expressions", quote(k.Value))
		case first != nil:
			r.fault(r.pos(k), "value %s is given twice, first on line %d", quote(k.Value), first.key.Line)
		default:
			r.named[k.Value] = &named{key: k, node: n.Content[i+1]}
			order = append(order, k.Value)
		}
	}
	out := make([]Named, 0, len(order))
	good := true
	for _, name := range order {
		v := r.named[name]
		r.settle(name, nil)
		if v.state != reckoned {
			good = false
			continue
		}
		out = append(out, Named{name, v.node.Value, v.q.v, v.q.String(), r.pos(v.key)})
	}
	return out, good
}

const namedTakes = "{name: number}, each a number with or without a unit or an expression: {r: 12 mm, pitch: 2*r + 3}"

// isName reports whether a text may name a value.
func isName(s string) bool {
	return s != "" && len(s) <= 40 && 'a' <= s[0] && s[0] <= 'z' && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789_") == ""
}

func takenName(s string) bool {
	_, f := functions[s]
	return f || s == "pi" || s == "nan" || s == "inf" || s == "infinity" || unitOf(s) != ""
}

// settle reckons a named value once; path are the names that asked for it, the first one first.
func (r *reader) settle(name string, path []string) {
	v := r.named[name]
	switch v.state {
	case reckoned, broken:
		return
	case asked:
		i := slices.Index(path, name)
		r.fault(r.pos(v.key), "values go round in a circle: %s", strings.Join(append(slices.Clone(path[i:]), name), " -> "))
		for _, n := range path[i:] {
			r.named[n].state = broken
		}
		return
	}
	v.state = asked
	q, ok := r.entry(v, append(path, name))
	switch {
	case v.state == broken: // found out on the way
	case ok:
		v.state, v.q = reckoned, q
	default:
		v.state = broken
	}
}

// entry reckons what stands at a name.
func (r *reader) entry(v *named, path []string) (q quantity, ok bool) {
	n := v.node
	if n.Kind != yaml.ScalarNode || empty(n) {
		r.faults.add(Fault{Pos: r.pos(n), Text: fmt.Sprintf("value %s takes a number, not %s", quote(v.key.Value), form(n)), Allowed: namedTakes})
		return q, false
	}
	if !plainStyle(n) && decimal(n.Value) == len(n.Value) {
		r.fault(r.pos(n), "value %s: a number stands without quotes; write %s", quote(v.key.Value), cut(n.Value, 40))
		return q, false
	}
	q, f := reckon(n.Value, r.bare, r.lookup(path))
	if f == nil {
		return q, true
	}
	r.flaw(n, fmt.Sprintf("value %s: ", quote(v.key.Value)), f, "")
	return q, false
}

// lookup returns what names stand for, to an expression that the names of path asked for.
func (r *reader) lookup(path []string) lookup {
	return func(name string) (quantity, *flaw) {
		v := r.named[name]
		if v == nil {
			return quantity{}, &flaw{text: "no value is named " + quote(name), names: meant{word: name, names: append(slices.Sorted(maps.Keys(r.named)), functionNames()...)}}
		}
		r.settle(name, path)
		if v.state != reckoned {
			return quantity{}, &flaw{silent: true}
		}
		return v.q, nil
	}
}

// flaw adds what is wrong within the text of a node.
func (r *reader) flaw(n *yaml.Node, where string, f *flaw, allowed string) {
	if f.silent {
		return
	}
	r.faults.add(Fault{Pos: r.within(n, f.at), Text: where + f.text, Allowed: allowed, meant: f.names})
}

// within returns the place of a character of a node's text; that of the node where the file writes the text
// otherwise than it reads.
func (r *reader) within(n *yaml.Node, at int) finding.Pos {
	p := r.pos(n)
	text := r.src.at(p)
	quoted := 0
	if !plainStyle(n) && text != "" {
		quoted, text = 1, text[1:]
	}
	if !strings.HasPrefix(text, n.Value) {
		return p
	}
	return r.src.pos(p.Line, p.Col+quoted+min(at, utf8.RuneCountInString(n.Value)))
}
