package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
)

var origin geom.Vec2

// mostText is the longest text in characters.
const mostText = 500

// takes says in words what may stand at a key.
func (p *Param) takes() string {
	s := ""
	switch p.Type {
	case Length:
		s = "a length: " + lengths.write
	case Angle:
		s = "an angle: " + angles.write
	case Temperature:
		s = "a temperature: " + temps.write
	case Number:
		s = numbers.write
	case Count:
		s = "a whole number"
	case Text:
		s = "text on one line"
	case Choice:
		s = strings.Join(p.Choices, ", ")
		if s == "" {
			s = "a name"
		}
	case Flag:
		s = "true, false"
	case Point:
		s = "two lengths: [x, y]"
	case Points:
		s = "a list of points: [[x, y], [x, y]]"
	case Lengths:
		s = "a list of lengths: [12, 0.5 in]"
	case Texts:
		s = "a list of names: [left, right]"
	case Outline:
		return "rect, circle, slot, polygon, dxf or svg: {rect: [110, 90], corner: 15}"
	case Grid:
		s = "two whole numbers: [across, away]"
	case Group:
		return keyList(p.Params)
	case Groups:
		return "a list, each entry with " + keyList(p.Params)
	case namedValues:
		return namedTakes
	case items:
		return "a list, each entry with kind, name, at and the keys of the kind"
	}
	if l := p.limits(); l != "" {
		s += "; " + l
	}
	return s
}

// holds reports whether v is within the limits of p.
func (p *Param) holds(v float64) bool {
	lo, hi := p.bounded()
	return !(lo && v < p.Min) && !(hi && v > p.Max)
}

// parse reads the value of a given key by its type.
func (r *reader) parse(s *scope, e *value, n *yaml.Node) {
	p := e.param
	var data any
	ok := false
	switch p.Type {
	case Length, Angle, Number, Temperature:
		data, ok = r.quantity(s, p, n)
	case Count:
		data, ok = r.count(s, p, n)
	case Text:
		data, ok = r.text(s, p, n)
	case Choice:
		data, ok = r.choice(s, p, n)
	case Flag:
		data, ok = r.flag(s, p, n)
	case Point:
		data, ok = r.point(s, p, n)
	case Points:
		data, ok = each(r, s, e, n, r.point)
	case Lengths:
		data, ok = each(r, s, e, n, r.quantity)
	case Texts:
		data, ok = each(r, s, e, n, r.text)
	case Outline:
		data, ok = r.outline(s, p, n)
	case Grid:
		data, ok = r.grid(s, p, n)
	case Group:
		data, ok = r.group(n, p.Params, s.sub(p.Key), e.pos), true
	case Groups:
		data, ok = r.groups(s, e, n)
	case namedValues:
		data, ok = r.namedValues(s, n)
	case items:
		data, ok = r.items(s, n)
	}
	if ok {
		e.data = data
	} else {
		e.data = r.fallback(s, p, e.pos)
	}
}

func (r *reader) wrong(s *scope, p *Param, n *yaml.Node, why string) {
	r.faults.add(Fault{Pos: r.pos(n), Text: s.of(p.Key) + ": " + why, Allowed: p.takes()})
}

// scalar reports whether n is one value, and refuses it otherwise.
func (r *reader) scalar(s *scope, p *Param, n *yaml.Node) bool {
	if n.Kind == yaml.ScalarNode && !empty(n) {
		return true
	}
	r.wrong(s, p, n, "takes one value, not "+form(n))
	return false
}

// list reports whether n is a list, and refuses it otherwise.
func (r *reader) list(s *scope, p *Param, n *yaml.Node) bool {
	if n.Kind == yaml.SequenceNode {
		return true
	}
	r.wrong(s, p, n, "takes a list, not "+form(n))
	return false
}

func (p *Param) measure() *measure {
	switch p.Type {
	case Length, Lengths, Point, Points, Outline:
		return &lengths
	case Angle:
		return &angles
	case Temperature:
		return &temps
	}
	return &numbers
}

// quantity reads a number in the unit of the key's type.
func (r *reader) quantity(s *scope, p *Param, n *yaml.Node) (float64, bool) {
	v, ok := r.number(s, p, n)
	if !ok {
		return 0, false
	}
	if p.measure() == &lengths && v != 0 && max(v, -v) < leastLength {
		r.wrong(s, p, n, fmt.Sprintf("%s is finer than %s mm", quote(n.Value), short(leastLength)))
		return 0, false
	}
	return v, true
}

// number reads a number within the limits of the key and below the largest length.
func (r *reader) number(s *scope, p *Param, n *yaml.Node) (float64, bool) {
	if !r.scalar(s, p, n) {
		return 0, false
	}
	m, bare := p.measure(), 1.0
	if m == &lengths {
		bare = r.bare
	}
	if !plainStyle(n) && decimal(n.Value) == len(n.Value) {
		r.wrong(s, p, n, "a number stands without quotes; write "+cut(n.Value, 40))
		return 0, false
	}
	v, ok := r.evaluate(s, p, n, m, bare)
	switch {
	case !ok:
	case !p.holds(v):
		r.wrong(s, p, n, fmt.Sprintf("%s is out of range", r.shown(p, n.Value, v)))
	case m == &lengths && max(v, -v) > mostLength:
		r.wrong(s, p, n, fmt.Sprintf("%s is longer than 10 m", r.shown(p, n.Value, v)))
	default:
		return v, true
	}
	return 0, false
}

// evaluate returns what the text of a number comes to: a number, or an expression in the job's named values.
func (r *reader) evaluate(s *scope, p *Param, n *yaml.Node, m *measure, bare float64) (float64, bool) {
	v, err := m.evaluate(n.Value, bare)
	if err == nil {
		return v, true
	}
	if mend(n.Value) != "" || !isExpression(n.Value) {
		r.wrong(s, p, n, err.Error())
		return 0, false
	}
	if word := strings.TrimLeft(strings.TrimSpace(n.Value), "+- "); r.named[word] == nil && isWord(word) && word != "pi" {
		_, f := r.lookup(nil)(word)
		f.text = fmt.Sprintf("%s is not %s, and no value has that name", quote(n.Value), m.name)
		r.flaw(n, s.of(p.Key)+": ", f, p.takes())
		return 0, false
	}
	q, f := reckon(n.Value, r.bare, r.lookup(nil))
	if f != nil {
		r.flaw(n, s.of(p.Key)+": ", f, p.takes())
		return 0, false
	}
	v, ok := q.of(m.dims(), r.bare)
	if !ok {
		r.wrong(s, p, n, fmt.Sprintf("%s is %s, not %s", quote(n.Value), q, m.name))
	}
	return v + 0, ok
}

// shown prints a number as written, with its size in mm where it was written otherwise.
func (r *reader) shown(p *Param, text string, v float64) string {
	isOne := isExpression(text)
	if p.measure() != &lengths || v == 0 {
		if isOne {
			return fmt.Sprintf("%s (%s)", cut(text, 40), short(v))
		}
		return cut(text, 40)
	}
	if f, err := strconv.ParseFloat(text, 64); err == nil && f == v {
		return cut(text, 40) + " mm"
	}
	return fmt.Sprintf("%s (%s mm)", cut(text, 40), short(v))
}

func (r *reader) count(s *scope, p *Param, n *yaml.Node) (int, bool) {
	if !r.scalar(s, p, n) {
		return 0, false
	}
	if !plainStyle(n) && decimal(n.Value) == len(n.Value) {
		r.wrong(s, p, n, "a number stands without quotes; write "+cut(n.Value, 40))
		return 0, false
	}
	v, ok := r.evaluate(s, p, n, &numbers, 1)
	i, ierr := strconv.Atoi(n.Value)
	if ierr != nil && isExpression(n.Value) && math.Abs(v-math.Round(v)) <= stepSlack && math.Abs(v) < 1e9 {
		i, ierr = int(math.Round(v)), nil
	}
	switch {
	case !ok:
	case ierr != nil && v == float64(int64(v)) && max(v, -v) < 1e9:
		r.wrong(s, p, n, fmt.Sprintf("%s is not written as a whole number; write %d", quote(n.Value), int64(v)))
	case ierr != nil:
		r.wrong(s, p, n, counted(n.Value, v)+" is not a whole number")
	case !p.holds(float64(i)):
		r.wrong(s, p, n, strings.Trim(counted(n.Value, v), "\"")+" is out of range")
	default:
		return i, true
	}
	return 0, false
}

// counted prints a count as written, with what an expression comes to.
func counted(text string, v float64) string {
	if isExpression(text) {
		return fmt.Sprintf("%s (%s)", cut(text, 40), short(v))
	}
	return quote(text)
}

// text reads one line of text as it stands in the file, whatever YAML would make of it: no and
// 12:30 are text.
func (r *reader) text(s *scope, p *Param, n *yaml.Node) (string, bool) {
	if !r.scalar(s, p, n) {
		return "", false
	}
	t := strings.TrimRight(n.Value, "\n")
	switch c := utf8.RuneCountInString(t); {
	case strings.TrimSpace(t) == "":
		r.wrong(s, p, n, "empty text")
		return "", false
	case c > mostText:
		r.wrong(s, p, n, fmt.Sprintf("text of %d characters; at most %d", c, mostText))
		return "", false
	}
	for _, c := range t {
		if c == '\n' {
			r.wrong(s, p, n, "text of several lines")
			return "", false
		}
		if unicode.IsControl(c) || unicode.Is(unicode.Bidi_Control, c) || c == 0x2028 || c == 0x2029 || c == 0xfeff {
			r.wrong(s, p, n, fmt.Sprintf("control character %U in a text", c))
			return "", false
		}
	}
	return t, true
}

func (r *reader) choice(s *scope, p *Param, n *yaml.Node) (string, bool) {
	if len(p.Choices) == 0 {
		return r.text(s, p, n)
	}
	if !r.scalar(s, p, n) {
		return "", false
	}
	if !slices.Contains(p.Choices, n.Value) {
		r.faults.add(Fault{
			Pos: r.pos(n), Text: fmt.Sprintf("%s: unknown name %s", s.of(p.Key), quote(n.Value)),
			Allowed: p.takes(), meant: meant{n.Value, p.Choices, p.alike},
		})
		return "", false
	}
	return n.Value, true
}

func (r *reader) flag(s *scope, p *Param, n *yaml.Node) (bool, bool) {
	if !r.scalar(s, p, n) {
		return false, false
	}
	if plainStyle(n) && (n.Value == "true" || n.Value == "false") {
		return n.Value == "true", true
	}
	why := quote(n.Value) + " is neither true nor false"
	switch strings.ToLower(n.Value) {
	case "true", "yes", "on", "y":
		why += "; write true"
	case "false", "no", "off", "n":
		why += "; write false"
	}
	r.wrong(s, p, n, why)
	return false, false
}

// point reads [x, y]. Coordinates may be as fine as they like; sizes are held by the key's limits.
func (r *reader) point(s *scope, p *Param, n *yaml.Node) (geom.Vec2, bool) {
	if !r.list(s, p, n) {
		return origin, false
	}
	if len(n.Content) != 2 {
		r.wrong(s, p, n, fmt.Sprintf("takes two lengths, not %d", len(n.Content)))
		return origin, false
	}
	x, okx := r.number(s, p, n.Content[0])
	y, oky := r.number(s, p, n.Content[1])
	return geom.Vec2{X: x, Y: y}, okx && oky
}

// grid reads two counts.
func (r *reader) grid(s *scope, p *Param, n *yaml.Node) (g [2]int, ok bool) {
	if !r.list(s, p, n) {
		return g, false
	}
	if len(n.Content) != 2 {
		r.wrong(s, p, n, fmt.Sprintf("takes two whole numbers, not %d", len(n.Content)))
		return g, false
	}
	x, okx := r.count(s, p, n.Content[0])
	y, oky := r.count(s, p, n.Content[1])
	return [2]int{x, y}, okx && oky
}

// each reads a list whose entries are all read by one, and notes their places.
func each[T any](r *reader, s *scope, e *value, n *yaml.Node, one func(*scope, *Param, *yaml.Node) (T, bool)) ([]T, bool) {
	if !r.list(s, e.param, n) {
		return nil, false
	}
	if len(n.Content) < e.param.least {
		r.wrong(s, e.param, n, fmt.Sprintf("%s; at least %d", entries(len(n.Content)), e.param.least))
		return nil, false
	}
	out := make([]T, 0, len(n.Content))
	e.elems = make([]finding.Pos, 0, len(n.Content))
	good := true
	for _, c := range n.Content {
		v, ok := one(s, e.param, c)
		good = good && ok
		out = append(out, v)
		e.elems = append(e.elems, r.pos(c))
	}
	return out, good
}

// groups reads a list of mappings with the same keys.
func (r *reader) groups(s *scope, e *value, n *yaml.Node) ([]*Values, bool) {
	if !r.list(s, e.param, n) {
		return nil, false
	}
	var out []*Values
	for _, c := range n.Content {
		p := r.pos(c)
		e.elems = append(e.elems, p)
		out = append(out, r.group(c, e.param.Params, s.sub(e.param.Key), p))
	}
	return out, true
}

func entries(n int) string {
	if n == 1 {
		return "a list of 1 entry"
	}
	return fmt.Sprintf("a list of %d entries", n)
}
