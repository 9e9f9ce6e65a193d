package toolgen

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/contour"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
	"platen/toolgen/skin"
)

// quantumSlack is what rounding vertices to the file's grid may add to the deviation, mm: half the
// diagonal of a cell of 2^-14 mm.
const quantumSlack = 0.0000529

// spot is the share of strips and planes that is measured too, although a bound proves them: one in
// so many triangles.
const spot = 16

// Measure is what was measured on the mesh that is written. Level planes are exact, strips are proved
// by a closed bound, and every triangle of a cluster is measured at 91 points.
type Measure struct {
	Audit    mesh.Audit
	Skin     skin.Report
	Dense    mesh.Deviation   // of clusters and the levels that border on them
	Spot     mesh.Deviation   // of one in 16 of the others, as a check on the bound
	Clusters int              // triangles measured in Dense
	Contours []contour.Report // of each cluster, in the order of the patches
}

// Deviation returns the largest distance of the mesh from the design, mm: proved or measured.
func (m Measure) Deviation() float64 { return max(m.Skin.Bound, m.Dense.Max, m.Spot.Max) }

// Evals returns how often the distance field was asked to make and to measure the mesh.
func (m Measure) Evals() int64 {
	n := int64(m.Dense.Points) + int64(m.Spot.Points) + 2*int64(m.Clusters)
	for _, c := range m.Contours {
		n += c.Evals
	}
	return n
}

// measure holds the mesh against the distance field.
func (r *Result) measure(ctx context.Context) error {
	field := r.Body.Field
	quick := field.Quick()
	dist := func(p geom.Vec3) float64 { return quick.At(p).D }
	cluster := r.clusterPieces()
	bored := func(t int) bool { // the field has no holes; their bound is that of polygons in circles
		role := field.Pieces.At(r.Mesh.P[t]).Role
		return role == piece.Vent || role == piece.BackDrill
	}
	var err error
	m := &r.Measure
	if m.Dense, err = r.Mesh.Deviation(ctx, dist, func(t int) bool { return !cluster[r.Mesh.P[t]] }, mesh.DenseOrder); err != nil {
		return err
	}
	m.Clusters = m.Dense.Measured
	if err := r.agree(ctx, quick, cluster); err != nil {
		return err
	}
	if m.Spot, err = r.Mesh.Deviation(ctx, dist, func(t int) bool { return cluster[r.Mesh.P[t]] || t%spot != 0 || bored(t) }, mesh.DenseOrder); err != nil {
		return err
	}
	for _, d := range []mesh.Deviation{m.Dense, m.Spot} {
		if d.Max > r.opt.Tolerance+quantumSlack {
			return &AuditError{fmt.Errorf("it deviates by %.4f mm near (%.2f, %.2f, %.2f), on %s; tolerance %.4f mm",
				d.Max, d.At.X, d.At.Y, d.At.Z, field.Pieces.At(d.Piece), r.opt.Tolerance)}
		}
	}
	if m.Spot.Max > m.Skin.Bound+quantumSlack {
		return &AuditError{fmt.Errorf("a strip deviates by %.4f mm near (%.2f, %.2f, %.2f), on %s, more than its bound of %.4f mm",
			m.Spot.Max, m.Spot.At.X, m.Spot.At.Y, m.Spot.At.Z, field.Pieces.At(m.Spot.Piece), m.Skin.Bound)}
	}
	return nil
}

// alike is how far the quick field may differ from the full one, mm.
const alike = 1e-6

// agree holds the field that measured the clusters against the full one, in the middle of each of
// their triangles.
func (r *Result) agree(ctx context.Context, quick *sdf.Body, cluster []bool) error {
	for t, v := range r.Mesh.T {
		if err := ctx.Err(); err != nil {
			return err
		}
		if !cluster[r.Mesh.P[t]] {
			continue
		}
		c := r.Mesh.V[v[0]].Add(r.Mesh.V[v[1]]).Add(r.Mesh.V[v[2]]).Scale(1. / 3)
		if a, b := quick.At(c).D, r.Body.Field.At(c).D; math.Abs(a-b) > alike {
			return &AuditError{fmt.Errorf("two ways to measure near (%.2f, %.2f, %.2f), on %s, say %.6f and %.6f mm",
				c.X, c.Y, c.Z, r.Body.Field.Pieces.At(r.Mesh.P[t]), a, b)}
		}
	}
	return nil
}

// clusterPieces marks the pieces that clusters are made of or border on.
func (r *Result) clusterPieces() []bool {
	f := r.Body.Field
	out := make([]bool, f.Pieces.Len())
	members := map[string]bool{}
	for _, p := range f.Patches {
		if p.Joint == nil {
			continue
		}
		out[p.Host] = true
		for _, m := range p.Joint.Members {
			members[m.Feature] = true
		}
	}
	for id := range out {
		out[id] = out[id] || members[f.Pieces.At(piece.ID(id)).Feature]
	}
	return out
}
