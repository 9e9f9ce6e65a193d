package skin

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// Bore is a vacuum hole that stands in the mesh: a small drill straight down from a level of the face,
// and a wider one from the base with the cone of its point.
type Bore struct {
	At    geom.Vec3 // centre of the mouth, on the level of piece Mouth
	R     float64   // of the small drill, mm
	BackR float64   // of the back drill, mm; 0: the small drill goes through to the base
	Full  float64   // height to which the back drill has its full diameter, mm
	Tip   float64   // length of the cone above that, mm

	Mouth piece.ID // level it starts on
	Vent  piece.ID // piece of the small drill
	Back  piece.ID // piece of the back drill and its cone
}

// bore adds the walls of a hole and cuts its mouth and its foot out of their planes. Its rings are
// inscribed polygons, all with the same directions, so that their walls are strips.
func (w *work) bore(b Bore) error {
	mouth, ok := w.byPiece[b.Mouth]
	if c, in := w.clusterOf[b.Mouth]; in {
		mouth, ok = w.clusterLevel(c, quantise(b.At.Z)), true
	}
	if !ok || w.planes[mouth].z != quantise(b.At.Z) {
		return fmt.Errorf("hole at (%.3f, %.3f): its mouth is on no level", b.At.X, b.At.Y)
	}
	base := w.byPiece[w.body.Block.IDs[0][0]]
	wide := max(b.R, b.BackR)
	n := max(8, int(math.Ceil(math.Pi/math.Acos(1-(w.o.Tol-rounded)/wide))))
	w.fit.worst = max(w.fit.worst, wide*(1-math.Cos(math.Pi/float64(n))))
	type ring struct{ r, z float64 }
	rings := []ring{{b.R, w.planes[mouth].z}, {b.R, w.planes[base].z}}
	ids := []piece.ID{b.Vent}
	if b.BackR > b.R {
		// The small drill runs into the cone where that is as wide.
		meet := b.Full + b.Tip*(1-b.R/b.BackR)
		rings = []ring{rings[0], {b.R, meet}, {b.BackR, b.Full}, {b.BackR, w.planes[base].z}}
		ids = []piece.ID{b.Vent, b.Back, b.Back}
	}
	w.step = ofStrip
	var above []int32
	for k, r := range rings {
		ring := make([]int32, n)
		for i := range ring {
			q := geom.Vec2{X: r.r}.Turn(geom.Angle(i) * 360 * geom.Degree / geom.Angle(n))
			ring[i] = w.vertex(mesh.Quantise(b.At.Plan().Add(q).At(r.z)))
		}
		for i := range ring {
			j := (i + 1) % n
			switch {
			case k == 0:
				w.planes[mouth].rim(ring[i], ring[j])
			default: // seen from the axis, where the air is
				w.tri(ring[i], above[i], above[j], ids[k-1])
				w.tri(ring[i], above[j], ring[j], ids[k-1])
			}
			if k == len(rings)-1 {
				w.planes[base].rim(ring[j], ring[i])
			}
		}
		above = ring
	}
	return nil
}
