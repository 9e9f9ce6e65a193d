package job

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"platen/toolgen/finding"
)

// Read reads a job file. kinds are the feature kinds known, names what the file may refer to; file
// is the name printed in front of places. The error is a *Refusal with all that is wrong.
//
// UTF-8 with or without a byte order mark and with either line end is taken. Lengths without a
// unit are in the file's own units; all values come back in mm.
func Read(data []byte, file string, kinds []Kind, names Names) (*Job, error) {
	r := &reader{
		kinds: map[string]*kindKeys{}, features: map[string]int{}, said: map[string]bool{}, bare: 1,
	}
	r.declare(kinds, names)
	src, root, f := parseYAML(data, file)
	r.src = src
	if f != nil {
		r.faults.add(*f)
		return nil, r.faults.refusal(src)
	}
	if !r.allowed(root, 0) {
		return nil, r.faults.refusal(src)
	}
	j := r.job(root, sections(names))
	if ref := r.faults.refusal(src); ref != nil {
		return nil, ref
	}
	return j, nil
}

// declare notes the kinds and checks their declarations.
func (r *reader) declare(kinds []Kind, names Names) {
	defaults := map[string]Type{}
	for _, p := range defaultKeys() {
		defaults[p.Key] = p.Type
	}
	check("the job", sections(names), nil)
	for i := range kinds {
		r.names = append(r.names, kinds[i].Name)
	}
	frame := frameKeys(r.names)
	for i := range kinds {
		k := &kinds[i]
		params := append(frame[:len(frame):len(frame)], k.Params...)
		check(k.Name, params, defaults)
		if r.kinds[k.Name] != nil {
			panic(fmt.Sprintf("job: kind %q is declared twice", k.Name))
		}
		r.kinds[k.Name] = &kindKeys{kind: k, params: params}
	}
}

// job reads the top of the file.
func (r *reader) job(root *yaml.Node, params []Param) *Job {
	s := &scope{}
	at := r.pos(root)
	if !r.open(root, s, params) {
		return nil
	}
	v := newValues(params, at)
	for _, e := range v.list {
		if e.param.Key == "format" {
			if !r.format(s, e, at) {
				return nil
			}
			continue
		}
		r.value(s, e, at, true)
		switch e.param.Key {
		case "units":
			if v.Choice("units") == "inch" {
				r.bare = inch
			}
		case "defaults":
			r.defaults = v.Group("defaults")
		}
	}
	j := &Job{
		File: r.src.file, Name: v.Text("name"), Revision: v.Text("revision"), Note: v.Text("note"), Unit: v.Choice("units"),
		Sheet: v.Group("sheet"), Tool: v.Group("tool"), Part: v.Group("part"), Forming: v.Group("forming"),
		Defaults: v.Group("defaults"), Shrink: v.Group("shrink"), Stack: v.Group("stack"),
	}
	j.Named = get[[]Named](v, "values", namedValues)
	j.Block, j.Vents, j.Machine = j.Tool.Group("block"), j.Tool.Group("vents"), j.Tool.Group("machine")
	if j.Forming.Given("plug") {
		plug := j.Forming.Group("plug")
		j.Plugs = r.repeat(plug, &scope{where: "forming.plug"}, plug.Point("at"), 1)
	}
	j.Features = get[[]*Item](v, "features", items)
	r.overrides(j, v.Groups("limits"))
	r.crossed(j)
	return j
}

// format reads the version of the grammar. Of another version nothing is known, so that its fault
// stands alone.
func (r *reader) format(s *scope, e *value, at finding.Pos) bool {
	before := r.faults
	r.faults = faults{}
	r.value(s, e, at, true)
	if e.given && r.faults.total() > 0 {
		return false
	}
	before.list = append(before.list, r.faults.list...)
	r.faults = before
	return true
}

// overrides reads the section limits.
func (r *reader) overrides(j *Job, list []*Values) {
	seen := map[string]int{}
	for _, l := range list {
		o := Override{Rule: l.Choice("rule"), Limit: l.Number("limit"), Reason: l.Text("reason"), Pos: l.Pos("rule")}
		if line, twice := seen[o.Rule]; twice && o.Rule != "" {
			r.fault(o.Pos, "rule %s has two limits, the first on line %d", quote(o.Rule), line)
			continue
		}
		seen[o.Rule] = o.Pos.Line
		j.Overrides = append(j.Overrides, o)
	}
}

// crossed checks what keys of different places ask of each other.
func (r *reader) crossed(j *Job) {
	s := j.Shrink
	for _, k := range []string{"x", "y", "z"} {
		if !s.Given(k) {
			continue
		}
		if s.find("off").data == true {
			r.fault(s.Pos(k), "%q in shrink stands beside off: true; keep one", k)
		} else if !s.Given("reason") {
			r.fault(s.Pos(k), "%q in shrink takes the place of the table; missing key \"reason\" says why", k)
		}
	}
	finish := j.Sheet.find("finish").data
	if p := j.Sheet; finish == "plain" && p.Given("finish_face") {
		r.fault(p.Pos("finish_face"), "%q in sheet goes with a finish; a plain sheet has none", "finish_face")
	} else if depth, _ := p.find("texture").data.(float64); finish == "grained" && depth == 0 {
		r.fault(p.Pos("finish"), "a grained sheet has a grain; missing key \"texture\" in sheet says how deep")
	}
	clear := j.Vents.find("keep_clear")
	named, _ := clear.data.([]string)
	for i, n := range named {
		if _, ok := r.features[n]; ok || n == "" {
			continue
		}
		f := Fault{Pos: j.Vents.PosAt("keep_clear", i), Text: fmt.Sprintf("%q in tool.vents: no feature is named %s", "keep_clear", quote(n))}
		f.meant = meant{word: n, names: r.featureNames()}
		r.faults.add(f)
	}
}
