// Package form owns the forming of the hot sheet over the tool: a membrane without bending stiffness
// is clamped in a frame, brought to the tool, drawn on to it by vacuum and sticks where it lands.
//
// It promises: the mass of the sheet is kept to rounding; equal inputs give equal bytes on any
// number of processors; every node ends clamped, landed, bridged or webbing; a run ends in bounded
// time and stops within a few steps of a cancel.
//
// Left out: sag, uneven heating, cooling in flight, slip on the tool, self-contact (webs are frozen
// and flagged instead), the thickness of the sheet as a distance, and the resistance of the vents.
//
// Start at Run. Lengths are mm, stresses and pressures MPa.
package form

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/geom"
)

// Tool is the face the sheet is formed on. It must be safe for concurrent calls.
type Tool interface {
	// Distance returns how far p lies off the face and the unit direction away from it: positive in
	// the air, negative in material.
	//
	// ERROR: in the air it may be too small but never larger than the true distance, so it grows by
	// at most 1 mm per mm; a tool that says too much lets the sheet pass through it.
	Distance(p geom.Vec3) (d float64, n geom.Vec3)
}

// Setup is the sheet, its clamp frame and the machine.
type Setup struct {
	Frame    geom.Box2 // inner edge of the clamp frame, in plan
	Round    bool      // the frame is the ellipse inscribed in Frame
	Start    float64   // height of the flat sheet before the platen moves
	Blow     float64   // height of the bubble blown up from the flat sheet before the platen moves; 0 none
	Travel   float64   // how far the frame comes down past the tool (the platen goes up)
	Plug     *Plug     // pushes the sheet down before the vacuum; nil none
	Closed   bool      // the air is closed by walls down from the frame and a platen at height Floor
	Floor    float64   // height of the platen
	Gauge    float64   // thickness of the sheet
	Law      Law       // of the hot sheet
	Pressure float64   // final pressure difference over the sheet
}

// Plug is a body that comes down from above and pushes the sheet ahead of it. The sheet sticks to it
// where it touches, until the vacuum pulls it off, or slides on it without friction.
type Plug struct {
	Slip   bool    // the sheet slides
	Face   Tool    // as it stands before it comes down, clear of the sheet; must be safe for concurrent calls
	Travel float64 // how far it comes down, mm
}

// OnPlaten returns the setup of a sheet that drapes down a block and seals on the platen: the frame
// stands margin outside the block and comes down to the platen.
func OnPlaten(block geom.Box3, margin float64) Setup {
	return Setup{
		Frame:  block.Plan().Grow(margin),
		Start:  block.Max.Z,
		Travel: block.Max.Z - block.Min.Z,
		Closed: true,
		Floor:  block.Min.Z,
	}
}

// LevelFrame returns the setup of a frame that ends level with the land around a tool whose highest
// point is at top (the land's own height for a female tool).
func LevelFrame(opening geom.Box2, land, top float64) Setup {
	return Setup{
		Frame:  opening,
		Start:  max(land, top),
		Travel: max(land, top) - land,
	}
}

// ReducingPlate returns the setup of a sheet clamped on a plate with an opening, through which the
// tool comes up until its land stands rise above the plate (0: level). The box below the plate is
// closed by the walls of the opening and the platen at floor.
func ReducingPlate(opening geom.Box2, land, top, rise, floor float64) Setup {
	return Setup{
		Frame:  opening,
		Start:  max(land, top),
		Travel: max(land, top) - land + rise,
		Closed: true,
		Floor:  floor,
	}
}

// Options say how fine and how slowly to compute. Zero values take the defaults.
type Options struct {
	Mesh float64 // side of the squares of the first mesh, mm; 0 takes 3.5, or less in a small frame
	// Fine returns the side of the squares that is wanted about a place of the flat sheet, mm, where it is
	// less than Mesh; nil wants none.
	Fine    func(flat geom.Vec2) float64
	Alpha   float64 // longest edge as a share of the bubble's own radius; 0 takes 0.7
	Least   float64 // edge under which no triangle is split for size, mm; 0 takes 1.5
	Levels  int     // most bisections for size; 0 takes 5, negative none
	Steps   int     // of the pressure ramp; 0 takes 500, or more where the sheet spans wide
	Raise   int     // steps of the platen's travel, and of the plug's; 0 takes 250
	Hold    int     // most steps at the final pressure; 0 takes 200
	Gap     float64 // of the tool, as a share of the edge, over which a triangle is split for size; 0 takes 0.15
	States  int     // states kept for the air; 0 takes 32
	Workers int     // 0 takes as many as there are processors, two at most; the result is the same
}

// Defaults and limits of Options, measured on the reference pocket and the 12-pocket tray.
const (
	defaultMesh   = 3.5
	fewestAcross  = 12 // squares across the smaller side of the frame
	mostSquares   = 4e5
	defaultAlpha  = 0.7
	defaultLeast  = 1.5
	defaultLevels = 5
	defaultSteps  = 500
	defaultRaise  = 250
	defaultHold   = 200
	defaultGap    = 0.15
	defaultStates = 32
)

// MostBlow is the highest bubble over the smaller side of the frame: about a hemisphere, beyond which
// it would bulge out over the frame.
const MostBlow = 0.5

// Fit returns options for a tool whose narrowest opening and smallest floor or root rounding that
// matters are given, mm: the mesh has 15 squares across the opening and splits down to 0.4 of the
// rounding.
func Fit(opening, rounding float64) Options {
	return Options{
		Mesh:  max(leastMesh, min(defaultMesh, opening/15)),
		Least: max(leastLeast, min(defaultLeast, 0.4*rounding)),
	}
}

// Finer than this, Fit does not go: the sheet's own thickness is of that order.
const (
	leastMesh  = 1.0
	leastLeast = 0.4
)

func (o Options) filled(s Setup) Options {
	size := s.Frame.Size()
	def(&o.Mesh, min(defaultMesh, min(size.X, size.Y)/fewestAcross))
	def(&o.Alpha, defaultAlpha)
	def(&o.Least, defaultLeast)
	def(&o.Levels, defaultLevels)
	def(&o.Raise, defaultRaise)
	def(&o.Hold, defaultHold)
	def(&o.Gap, defaultGap)
	def(&o.States, defaultStates)
	return o
}

func def[T int | float64](v *T, d T) {
	if *v == 0 {
		*v = d
	}
}

func (s Setup) check(o Options) error {
	size := s.Frame.Size()
	finite := s.Frame.Min.At(s.Start).IsFinite() && s.Frame.Max.At(s.Travel).IsFinite() && s.Law.finite()
	switch {
	case !finite || s.Closed && math.IsNaN(s.Floor):
		return fmt.Errorf("form: the frame's size, height, travel and the sheet's law must be finite numbers")
	case !(size.X > 0 && size.Y > 0):
		return fmt.Errorf("form: clamp frame %.3f x %.3f mm has no area", size.X, size.Y)
	case !(s.Gauge > 0) || math.IsInf(s.Gauge, 0):
		return fmt.Errorf("form: gauge %.3f mm is not above 0", s.Gauge)
	case !(s.Pressure > 0) || math.IsInf(s.Pressure, 0):
		return fmt.Errorf("form: pressure %.4f MPa is not above 0", s.Pressure)
	case !s.Law.stiff():
		return fmt.Errorf("form: the sheet has no stiffness; the modulus must be above 0 and no constant below 0")
	case !(s.Blow >= 0) || s.Blow > MostBlow*min(size.X, size.Y):
		return fmt.Errorf("form: bubble of %.1f mm on a frame of %.0f x %.0f mm; allowed are 0 to %.1f mm, where it is still tame", s.Blow, size.X, size.Y, MostBlow*min(size.X, size.Y))
	case s.Plug != nil && !(s.Plug.Travel >= 0):
		return fmt.Errorf("form: plug travel %.3f mm is below 0", s.Plug.Travel)
	case s.Travel < 0:
		return fmt.Errorf("form: platen travel %.3f mm is below 0", s.Travel)
	case s.Closed && s.Floor > s.Start-s.Travel+1e-9:
		return fmt.Errorf("form: the platen at height %.3f mm lies above the frame's end at %.3f mm", s.Floor, s.Start-s.Travel)
	case !(o.Mesh > 0) || size.X/o.Mesh*size.Y/o.Mesh > mostSquares:
		return fmt.Errorf("form: mesh of %.3f mm on a frame of %.0f x %.0f mm; allowed are at most %.0f squares", o.Mesh, size.X, size.Y, mostSquares)
	case !(o.Alpha > 0 && o.Least > 0 && o.Gap > 0) || o.Steps < 0 || o.Raise < 1 || o.Hold < 0 || o.States < 2:
		return fmt.Errorf("form: alpha, least edge and gap must be above 0, the ramp's steps at least 0, the travel's at least 1, states at least 2")
	}
	return nil
}

// Run forms the sheet on the tool.
//
// ERROR: input that makes no run; the context's error within a few steps of a cancel.
func Run(ctx context.Context, tool Tool, set Setup, opt Options) (*Sheet, error) {
	opt = opt.filled(set)
	if err := set.check(opt); err != nil {
		return nil, err
	}
	s := newSim(tool, set, opt)
	defer s.crew.close()
	if err := s.form(ctx); err != nil {
		return nil, err
	}
	return s.sheet(ctx)
}
