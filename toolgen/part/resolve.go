package part

import (
	"errors"
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/material"
)

// Opener opens a file that a job names, relative to the job.
type Opener func(name string) ([]byte, error)

// Resolve places every feature of a job on the part.
//
// ERROR: BuildErrors, joined, for features whose numbers make no geometry.
func Resolve(j *job.Job, kinds []Kind, open Opener) (*Part, error) {
	sheet, err := material.SheetNamed(j.Sheet.Choice("material"))
	if err != nil {
		return nil, err
	}
	r := &resolver{
		part:  &Part{Job: j, Sheet: sheet, Gauge: j.Sheet.Length("gauge")},
		kinds: map[string]Kind{},
	}
	for _, k := range kinds {
		r.kinds[k.Name] = k
	}
	r.open = r.part.recorded(open)
	if r.part.Outline, err = FromShape(j.Part.Outline("outline"), 0, r.open); err == nil {
		err = oneLoop(r.part.Outline)
	}
	if err != nil {
		return nil, &BuildError{j.Part.Pos("outline"), "part", err}
	}
	if err := r.part.repeat(); err != nil {
		return nil, err
	}
	if err := r.part.plug(r.open); err != nil {
		return nil, err
	}
	for r.impression = range r.part.Impressions {
		r.items(j.Features, nest{plan: geom.Moved(geom.Vec2{}), path: fmt.Sprintf("I%d", r.impression+1), taken: map[string]bool{}})
		if len(r.errs) > 0 {
			break // all impressions are alike
		}
	}
	return r.part, errors.Join(r.errs...)
}

// recorded returns an opener that opens every file once and notes its name.
func (p *Part) recorded(open Opener) Opener {
	files := map[string][]byte{}
	return func(name string) ([]byte, error) {
		if data, ok := files[name]; ok {
			return data, nil
		}
		data, err := open(name)
		if err == nil {
			files[name] = data
			p.Files = append(p.Files, name)
		}
		return data, err
	}
}

type resolver struct {
	part  *Part
	kinds map[string]Kind
	open  Opener
	errs  []error

	impression int // that is being resolved
}

// nest is where features lie: on parent's floor or top, or on the land; what carries them sinks from, or
// stands on, the level from.
type nest struct {
	parent, from *Feature
	plan         geom.Affine // maps their frame to the part's
	path         string
	taken        map[string]bool // names that their ids may not end in
}

// items resolves features that lie on one level.
func (r *resolver) items(items []*job.Item, n nest) {
	ordinal := map[string]int{}
	for _, it := range items {
		if it.Name != "" && n.taken[it.Name] {
			r.refuse(it, n.path+"/"+it.Name, fmt.Errorf("the name %q is that of a part of the feature it is nested in", it.Name))
		}
		n.taken[it.Name] = true
	}
	for _, it := range items {
		name := it.Name
		for name == "" || it.Name == "" && n.taken[name] {
			ordinal[it.Kind]++
			name = fmt.Sprintf("%s-%d", it.Kind, ordinal[it.Kind])
		}
		n.taken[name] = true
		path := n.path
		solids, err := r.kinds[it.Kind].Shape(r.env(it))
		if err != nil {
			r.refuse(it, path+"/"+name, err)
			continue
		}
		for i, at := range it.Places {
			id := path + "/" + name
			if len(it.Places) > 1 {
				id += fmt.Sprintf("/P%d", i+1)
			}
			in := nest{parent: n.parent, from: n.from, plan: geom.Turned(it.Turn).Then(geom.Moved(at)).Then(n.plan)}
			r.place(it, solids, in, id)
		}
	}
}

func (r *resolver) env(it *job.Item) Env {
	return Env{Values: it.Values, Item: it, Gauge: r.part.Gauge, Sheet: r.part.Sheet,
		Under: r.part.Job.Tool.Choice("contact") == "underside", Title: r.part.Title(), Trim: r.part.Outline, Open: r.open}
}

// place puts the solids of one feature at one place and resolves what is nested in it.
func (r *resolver) place(it *job.Item, solids []Solid, in nest, id string) {
	parent, plan := in.parent, in.plan
	inside := nest{plan: plan, path: id, taken: map[string]bool{}}
	own := make([]*Feature, 0, len(solids))
	carrier := 0
	for i, s := range solids {
		if s.Use == Marking && r.impression > 0 {
			continue // of the tool, not of the part
		}
		f := &Feature{ID: id, Impression: r.impression, Kind: it.Kind, Pos: it.Pos, Parent: parent, Values: it.Values, Solid: s}
		f.Middle = plan.Point(s.Outline.Bounds().Centre())
		f.Turn = geom.Angle(math.Atan2(plan.C, plan.A))
		if s.Suffix != "" {
			f.ID += "/" + s.Suffix
		}
		if s.On > 0 {
			f.Parent = own[s.On-1]
		}
		if s.Rim {
			if parent == nil {
				r.refuse(it, id, fmt.Errorf("it must be nested in the pocket whose rim it crosses"))
				return
			}
			f.Parent = in.from
		}
		if f.Parent != nil {
			f.ZHost = f.Parent.ZEnd
		}
		f.ZEnd = f.ZHost + s.Height
		if s.Sunk {
			f.ZEnd = f.ZHost - s.Height
		}
		o, err := s.Outline.Map(plan)
		if err != nil {
			r.refuse(it, id, err)
			return
		}
		f.Outline = o
		if s.Held != nil {
			h := *s.Held
			if h.Plan, err = s.Held.Plan.Map(plan); err != nil {
				r.refuse(it, id, err)
				return
			}
			f.Held = &h
		}
		if s.Punch != nil {
			if len(it.Children) > 0 {
				r.refuse(it, id, fmt.Errorf("it is a hole: nothing can be nested in it"))
				return
			}
			r.part.Holes = append(r.part.Holes, f)
			continue
		}
		r.part.Features = append(r.part.Features, f)
		own = append(own, f)
		inside.taken[s.Suffix] = true
		if s.Carries {
			carrier = i
		}
	}
	if len(own) > 0 {
		inside.parent, inside.from = own[carrier], own[0].Parent
		r.items(it.Children, inside)
	}
}

// refuse records an error at the key it blames, or at the feature.
func (r *resolver) refuse(it *job.Item, id string, err error) {
	pos := it.Pos
	if key := (*KeyError)(nil); errors.As(err, &key) {
		pos = it.Values.Pos(key.Key)
		if key.Entry > 0 {
			pos = it.Values.PosAt(key.Key, key.Entry-1)
		}
		err = key.Err
	}
	r.errs = append(r.errs, &BuildError{pos, id, err})
}
