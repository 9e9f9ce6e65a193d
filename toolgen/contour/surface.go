// Package contour owns the meshing of one cluster of features that cross: adaptive dual contouring
// of its field, a pass that splits edges until the tolerance holds, and a thinning in which every
// new edge and triangle is tested against the field itself.
//
// It promises an open mesh of everything that is not a level plane, bounded by loops that lie
// bitwise on their level and keep within the tolerance, in plan, of the line where the level ends; every
// triangle faces the air and stays within the tolerance at 91 points; the same bytes for any number of workers; and an error
// that names the place instead of a mesh that breaks one of these.
package contour

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// Source is what is contoured: a host plane without end and the cluster that stands on it.
type Source interface {
	sdf.Surveyor
	// Box holds all surface that is not one of the level planes.
	Box() geom.Box3
	// Plan is the signed distance in plan to the region where the surface is not the host plane.
	Plan(q geom.Vec2) float64
	// Level lists the pieces of the level planes (z = const), the host plane first.
	Level() []piece.ID
}

// Options steer the mesher.
type Options struct {
	Tol     float64 // largest distance between mesh and surface, mm, at 91 points of a triangle
	Workers int     // 0: as many as GOMAXPROCS
	MaxEdge float64 // longest edge of a curved triangle, mm; 0: no limit

	// Prune is the source as what can be pruned, cheaper to evaluate; nil: it can not be.
	Prune sdf.Pruner
	// Levels is the height of each level plane, mm.
	Levels map[piece.ID]float64
}

// Report says what a run came to.
type Report struct {
	Triangles int
	Raw       int         // triangles before splitting and thinning
	MaxDev    float64     // largest deviation at 91 points a triangle, mm: measured or bounded
	Evals     int64       // field evaluations
	Stages    []Stage     // the same by stage, all rounds together
	Rejected  int         // splits refused in the last round
	OnDemand  int         // cells asked for a vertex that saw no sign change, in the last round
	Rounds    int         // re-mesh rounds, 0 to 3
	Places    []geom.Vec3 // where the last round was not resolved
}

// Stage is a step of the mesher and the field evaluations it took.
type Stage struct {
	Name  string
	Evals int64
}

// Unresolved is the refusal of a mesh: what is wrong, where, and the figure against its limit.
type Unresolved struct {
	What  string
	At    geom.Vec3
	Got   float64
	Limit float64
}

// Error names the fault and its place.
func (e *Unresolved) Error() string {
	s := fmt.Sprintf("%s at (%.3f, %.3f, %.3f)", e.What, e.At.X, e.At.Y, e.At.Z)
	if e.Limit != 0 || e.Got != 0 {
		s += fmt.Sprintf(": %.4g, limit %.4g", e.Got, e.Limit)
	}
	return s
}

const (
	// inner is the share of the promised tolerance used inside: the passes sample an edge at three
	// points and a triangle at four, and the worst of 91 lies above that (measured).
	inner = 0.75
	// maxRounds is the number of times the neighbourhood of a fault is built again at half size.
	maxRounds = 3
)

// Surface returns the mesh of everything of s that is not a level plane, and what the run came to.
//
// ERROR: *Unresolved where the surface can not be brought within tolerance or is not a surface;
// options that make no sense; the context's error.
func Surface(ctx context.Context, s Source, o Options) (*mesh.Mesh, Report, error) {
	f, err := newField(s, o)
	if err != nil {
		return nil, Report{}, err
	}
	r := &run{ctx: ctx, f: f, o: o, tol: inner * o.Tol, workers: workers(o.Workers)}
	var marks []mark
	for round := 0; ; round++ {
		r.rep.Rounds = round
		m, bad, err := r.once(marks)
		r.rep.Evals = r.evals.Load()
		if err != nil {
			return nil, r.rep, err
		}
		if len(bad) == 0 {
			r.rep.Places = nil
			return m, r.rep, nil
		}
		r.rep.Places = places(bad)
		if round == maxRounds {
			return nil, r.rep, bad[0]
		}
		marks = append(marks, r.marks(bad)...)
	}
}

// once runs all stages; bad lists the faults that a finer mesh may mend.
func (r *run) once(marks []mark) (m *mesh.Mesh, bad []*Unresolved, err error) {
	var tris [][3]int32
	for _, s := range []struct {
		name string
		do   func() error
	}{
		{"octree", func() error { return r.octree(marks) }},
		{"dual", func() (err error) { tris, bad, err = r.dual(); return err }},
		{"pair", func() (err error) { bad, err = r.pair(tris); return err }},
		{"refine", r.refine},
		{"thin", r.thin},
		{"mend", r.mend},
		{"finish", func() (err error) { m, bad, err = r.finish(); return err }},
	} {
		if err := r.stage(s.name, s.do); err != nil || len(bad) > 0 {
			return nil, bad, err
		}
	}
	return m, nil, nil
}

// stage runs one step and notes the evaluations it took.
func (r *run) stage(name string, do func() error) error {
	before := r.evals.Load()
	err := do()
	n := r.evals.Load() - before
	for i := range r.rep.Stages {
		if r.rep.Stages[i].Name == name {
			r.rep.Stages[i].Evals += n
			return err
		}
	}
	r.rep.Stages = append(r.rep.Stages, Stage{name, n})
	return err
}

func places(bad []*Unresolved) []geom.Vec3 {
	ps := make([]geom.Vec3, len(bad))
	for i, b := range bad {
		ps[i] = b.At
	}
	return ps
}

func check(s Source, o Options) error {
	if !(o.Tol > 0) || math.IsInf(o.Tol, 1) {
		return fmt.Errorf("mesh tolerance %g mm is not above 0", o.Tol)
	}
	if o.MaxEdge < 0 || (o.MaxEdge > 0 && o.MaxEdge < 8*o.Tol) {
		return fmt.Errorf("longest edge %g mm is below 8 times the tolerance, %g mm", o.MaxEdge, 8*o.Tol)
	}
	if len(s.Level()) == 0 {
		return fmt.Errorf("the cluster names no level plane")
	}
	for _, id := range s.Level() {
		if _, ok := o.Levels[id]; !ok {
			return fmt.Errorf("the height of level plane %d is not given", id)
		}
	}
	b := s.Box()
	if !(b.Size().X > 0 && b.Size().Y > 0 && b.Size().Z > 0) || !b.Min.IsFinite() || !b.Max.IsFinite() {
		return fmt.Errorf("the cluster's box %v is empty or without end", b)
	}
	return nil
}
