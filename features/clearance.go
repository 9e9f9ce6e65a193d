package features

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
)

// The keys by which a size or an outline is that of the product and not of the pocket.
var (
	clearanceKey = job.Param{Key: "clearance", Type: job.Length, Min: 0.05, Max: 20, Source: practice,
		Text: "size, outline and corner are those of the product, and the pocket is larger all round by this; it goes before fit; not given: that of fit, else none, and they are those of the pocket"}
	fitKey = job.Param{Key: "fit", Type: job.Choice, Choices: []string{"tight", "hand", "glove"}, Source: practice,
		Text: "how the product is put in, in place of a clearance, and does not count beside one: tight 0.35 mm, by hand 0.75 mm, with gloves 1.5 mm"}
)

// fits are the clearances of the fits, mm all round: common practice, no source.
var fits = map[string]float64{"tight": 0.35, "hand": 0.75, "glove": 1.5}

// cornerLeft is the share of the clearance that is left at a sharp corner of the product: common
// practice, no source.
const cornerLeft = 0.25

// clearance returns the clearance asked, and whether one is.
func clearance(v *job.Values) (mm float64, key string, ok bool) {
	if v.Has("clearance") {
		return v.Length("clearance"), "clearance", true
	}
	if mm, ok = fits[v.Choice("fit")]; ok {
		return mm, "fit", true
	}
	// A product that says nothing of its fit is put in by hand.
	if v.Declares("product") && v.Given("product") {
		return fits["hand"], "product", true
	}
	return 0, "fit", false
}

// room returns the outline of a recess: as v gives it, or around the product that v gives, by the
// clearance of the feature. corner is the plan corner where none is given; the corner of a recess around a
// sharp-cornered product is what leaves a quarter of the clearance there, and below need, the run of the
// recess's wall and floor rounding, is refused.
func room(e part.Env, v *job.Values, corner, need float64) (*outline.Outline, error) {
	if _, _, ok := clearance(e.Values); !ok {
		return plan(e, v, corner)
	}
	own := 0.0
	if v.Given("corner") {
		own = v.Length("corner")
	}
	product, err := plan(e, v, own)
	if err != nil {
		return nil, err
	}
	return around(e, product, corner, need)
}

// around returns the outline of a recess around a product, see room.
func around(e part.Env, product *outline.Outline, corner, need float64) (*outline.Outline, error) {
	c, key, _ := clearance(e.Values)
	grown, err := product.Offset(c)
	if err != nil {
		return nil, part.Blame(key, "around the product: %w", err)
	}
	if grown.Corners() == 0 {
		return grown, nil
	}
	round := corner
	if a := grown.Sharpest(); a < 180*geom.Degree {
		// Of a corner of half angle a the rounding r leaves r - (r - c) / sin a.
		s := (a / 2).Sin()
		share := (1 - cornerLeft*s) / (1 - s)
		if round = min(corner, share*c); round < need {
			return nil, part.Blame(key, "clearance %.3f mm: the sharp corner of the product, of %.1f deg, leaves the pocket a corner radius of at most %.3f mm, and its wall and floor rounding need %.3f mm; clearance at least %.3f mm, a smaller floor rounding, or the product's own corner radius",
				c, a.Degrees(), round3(share*c), need, math.Ceil(need/share*1000)/1000)
		}
	}
	o, err := grown.RoundedApart(round, corner)
	for inward := corner; err != nil && inward > leastInward; inward /= 2 {
		o, err = grown.RoundedApart(round, inward) // bays of a product may be narrower than the corner
	}
	if err != nil {
		return nil, part.Blame(key, "around the product: %w", err)
	}
	return o, nil
}

// leastInward is the smallest corner, mm, that a recess gets where its product has a bay: half of that the
// tool has no cutter for.
const leastInward = 1

// floorRun returns how far inside its outline the wall and the floor rounding of a recess end, whose
// outline holds at its floor or at its opening.
func floorRun(draft geom.Angle, holds part.Hold, depth, floor float64) float64 {
	run := floor * ((90*geom.Degree - draft) / 2).Tan()
	if holds == part.AtHost {
		run += depth * draft.Tan()
	}
	return run
}
