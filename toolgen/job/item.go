package job

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
)

// mostFeatures is the largest number of features of a job, every place of a repeat counted.
const mostFeatures = 20000

// items reads a list of features.
func (r *reader) items(s *scope, n *yaml.Node) ([]*Item, bool) {
	return r.itemList(s, n, 1)
}

// itemList reads the features of a parent that stands at the given number of places.
func (r *reader) itemList(s *scope, n *yaml.Node, times int) ([]*Item, bool) {
	if n.Kind != yaml.SequenceNode {
		r.faults.add(Fault{Pos: r.pos(n), Text: fmt.Sprintf("%s takes a list, not %s", s.of("features"), form(n)),
			Allowed: "a list, each entry with kind, name, at and the keys of the kind"})
		return nil, false
	}
	var out []*Item
	for i, c := range n.Content {
		if it := r.item(c, i, times); it != nil {
			out = append(out, it)
		}
	}
	return out, true
}

// item reads one feature; nil where it can not be told what it is.
func (r *reader) item(n *yaml.Node, index, times int) *Item {
	at := r.pos(n)
	if n.Kind != yaml.MappingNode {
		r.faults.add(Fault{Pos: at, Text: fmt.Sprintf("a feature takes keys and values, not %s", form(n)), Allowed: "kind, name, at and the keys of the kind"})
		return nil
	}
	kind, name := peek(n, "kind"), peek(n, "name")
	in := &scope{where: title(kind, name, index)}
	var k *kindKeys
	if kind != nil && kind.Kind == yaml.ScalarNode {
		k = r.kinds[kind.Value]
	}
	if k == nil {
		r.unknownKind(in, kind, at)
		return nil
	}
	r.open(n, in, k.params)
	children := in.nodes["features"]
	v := newValues(k.params, at)
	v.own = k.frame()
	for _, e := range v.list {
		if e.param.Type != items {
			r.value(in, e, at, true)
		} else if children != nil {
			e.given, e.pos = true, r.pos(in.keys["features"])
		}
	}
	it := &Item{Kind: k.kind.Name, Name: v.Text("name"), Pos: at, Values: v, At: v.Point("at"), Turn: v.Angle("turn")}
	r.called(it, v)
	it.Places = r.repeat(v, in, it.At, times)
	if children != nil {
		if empty(children) {
			r.fault(v.Pos("features"), "key %s has no value", in.of("features"))
		} else {
			it.Children, _ = r.itemList(in, children, times*len(it.Places))
		}
	}
	return it
}

// frame returns how many of the keys are those every feature has.
func (k *kindKeys) frame() int { return len(k.params) - len(k.kind.Params) }

// peek returns the first value of a key of a mapping, nil without one.
func peek(n *yaml.Node, key string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Kind == yaml.ScalarNode && n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}

// title names a feature in a message: pocket "left", or pocket 3 for the third of its list.
func title(kind, name *yaml.Node, index int) string {
	word := "feature"
	if kind != nil && kind.Kind == yaml.ScalarNode && !empty(kind) {
		word = cut(kind.Value, 40)
	}
	if name != nil && name.Kind == yaml.ScalarNode && strings.TrimSpace(name.Value) != "" {
		return word + " " + quote(name.Value)
	}
	return fmt.Sprintf("%s %d", word, index+1)
}

// unknownKind says why the kind of a feature can not be told.
func (r *reader) unknownKind(in *scope, kind *yaml.Node, at finding.Pos) {
	p := Param{Key: "kind", Type: Choice, Choices: r.names}
	switch {
	case kind == nil:
		r.faults.add(Fault{Pos: at, Text: "missing key " + in.of("kind"), Allowed: p.takes()})
	case kind.Kind != yaml.ScalarNode || empty(kind):
		r.wrong(in, &p, kind, "takes one word, not "+form(kind))
	default:
		r.faults.add(Fault{Pos: r.pos(kind), Text: "unknown kind of feature " + quote(kind.Value), Allowed: p.takes(), meant: meant{word: kind.Value, names: r.names}})
	}
}

// featureNames returns the names given to features, sorted.
func (r *reader) featureNames() []string { return slices.Sorted(maps.Keys(r.features)) }

// called notes the name of a feature and refuses a second one of the same name.
func (r *reader) called(it *Item, v *Values) {
	if it.Name == "" {
		return
	}
	p := v.Pos("name")
	for _, c := range it.Name {
		if c == '/' {
			r.fault(p, "name %s of a feature: / parts the names of nested features and can not stand in one", quote(it.Name))
			return
		}
	}
	if line, taken := r.features[it.Name]; taken {
		r.fault(p, "name %s of a feature is taken, on line %d", quote(it.Name), line)
		return
	}
	r.features[it.Name] = p.Line
}

// repeat returns the places of a feature in its parent's frame. A grid runs across first, from the
// least X and Y, so that P1 lies at the lower left. The offsets are those of the parent: turn
// turns the feature in its place, never the grid.
func (r *reader) repeat(v *Values, in *scope, at geom.Vec2, times int) []geom.Vec2 {
	rep := v.Group("repeat")
	p := v.Pos("repeat")
	places := []geom.Vec2{at}
	grid, pitch := rep.Grid("grid"), rep.Point("pitch")
	switch g, l := rep.Given("grid"), rep.Given("points"); {
	case !v.Given("repeat"):
	case g == l:
		r.faults.add(Fault{Pos: p, Text: in.of("repeat") + " takes either grid with pitch or points", Allowed: "{grid: [4, 3], pitch: [140, 122]} or {points: [[0, 0], [50, 0]]}"})
	case l && rep.Given("pitch"):
		r.fault(rep.Pos("pitch"), "pitch goes with grid, not with points, in repeat of %s", in.where)
	case l:
		places = r.listed(rep, in, at)
	case !rep.Given("pitch"):
		r.fault(p, "missing key \"pitch\" in repeat of %s: a grid has a pitch", in.where)
	case grid[0] > 1 && pitch.X == 0 || grid[1] > 1 && pitch.Y == 0:
		r.fault(rep.Pos("pitch"), "pitch 0 in repeat of %s lays one place on the other", in.where)
	case grid[0]*grid[1] > mostFeatures:
		r.tooMany(p)
	case grid[0] > 0 && grid[1] > 0:
		places = lattice(grid, pitch, at)
	}
	r.places += times * len(places)
	if r.places > mostFeatures {
		r.tooMany(p)
		return places[:1]
	}
	return places
}

func (r *reader) tooMany(p finding.Pos) {
	if !r.full {
		r.full = true
		r.fault(p, "more than %d features, every place of a repeat counted", mostFeatures)
	}
}

// lattice returns a grid centred on at.
func lattice(grid [2]int, pitch, at geom.Vec2) []geom.Vec2 {
	places := make([]geom.Vec2, 0, grid[0]*grid[1])
	for j := range grid[1] {
		for i := range grid[0] {
			places = append(places, at.Add(geom.Vec2{
				X: (float64(i) - float64(grid[0]-1)/2) * pitch.X,
				Y: (float64(j) - float64(grid[1]-1)/2) * pitch.Y,
			}))
		}
	}
	return places
}

// listed returns the places of a list of offsets.
func (r *reader) listed(rep *Values, in *scope, at geom.Vec2) []geom.Vec2 {
	offsets := rep.Points("points")
	if len(offsets) == 0 { // refused already
		return []geom.Vec2{at}
	}
	seen := make(map[geom.Vec2]int, len(offsets))
	places := make([]geom.Vec2, len(offsets))
	for i, o := range offsets {
		if first, twice := seen[o]; twice {
			r.fault(rep.PosAt("points", i), "place %d in repeat of %s lies on place %d", i+1, in.where, first+1)
		} else {
			seen[o] = i
		}
		places[i] = at.Add(o)
	}
	return places
}
