// Package part owns the resolved part: every place of every feature as a solid in the part frame,
// and the contract that a feature kind keeps. It names no kind.
//
// Part frame: X right, Y away, Z up, land of the measured side at z = 0. Sizes are those of the cold
// part on the measured side; draft and radii are those of the tool.
package part

import (
	"fmt"
	"math"

	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/material"
	"platen/toolgen/outline"
)

// Hold says at which height a feature's outline holds.
type Hold uint8

// The heights at which a size may hold.
const (
	AtHost Hold = iota // opening of a sunk feature, foot of a raised one
	AtEnd              // floor of a sunk feature, top of a raised one
)

// Use says what a feature is for: limits depend on it.
type Use uint8

// The uses.
const (
	Plain     Use = iota
	Product       // takes a product: clearance counts where it is narrowest
	Locating      // centres the next part of a nest
	Carrying      // carries the next part of a stack
	Lettering     // strokes, exempt from the rules for pockets and ribs
	Hinge         // folds
	Grip          // fingers go in
	Bump          // small, spaces or holds a product
	Marking       // engraved in the tool beside the part
	Spot          // marks on the tool where a hole is punched
	Button        // of a snap: goes into a socket and is held behind its lip
	Socket        // of a snap
)

// Snaps reports whether a feature is one half of a snap.
func (u Use) Snaps() bool { return u == Button || u == Socket }

// Face says on which side of the sheet the sizes of a solid hold.
type Face uint8

// The faces.
const (
	Measured  Face = iota // the measured side of the job
	Upper                 // the upper side
	Underside             // the underside
)

// Fine reports whether a feature is too small to stretch the sheet and for the rules of pockets and
// blocks: strokes, beads and bumps, whose sizes are those of the tool.
func (u Use) Fine() bool { return u == Lettering || u == Hinge || u == Bump || u.Scrap() }

// Scrap reports whether a feature lies in what is cut away from the part.
func (u Use) Scrap() bool { return u == Marking || u == Spot }

// String returns the trade's word.
func (f Face) String() string { return [...]string{"measured side", "upper side", "underside"}[f] }

// Solid is one sunk or raised shape of a feature, in the feature's own plan at part size.
type Solid struct {
	Suffix    string // tells several solids of one feature apart; "" for the only one
	Outline   *outline.Outline
	Sunk      bool       // on the part: goes to -z from its host level
	Height    float64    // depth or height from the host level, mm, > 0
	Holds     Hold       // where the outline holds
	Draft     geom.Angle // on the tool
	HostR     float64    // rounding at the host level (opening, foot), mm, on the tool
	EndR      float64    // rounding at the end level (floor, top), mm, on the tool
	EndSize   bool       // EndR is a size of the part that a product lies in: it shrinks and takes the wall like one
	Rim       bool       // sinks from the level its parent stands on, through the parent's rim
	On        int        // 1: lies on the level of the feature's first solid, and so on; 0: on the parent's
	OnTool    bool       // outline and height are those of the tool, and read on it: only the place is the part's
	Carries   bool       // what is nested in the feature lies on this solid; where none carries, on the first
	Use       Use
	Clearance float64 // left round the product at the height where the outline holds, mm; 0: not told
	Held      *Held   // the product, where the job gives it; nil: not told
	Punch     *Punch  // a hole cut after forming, not a shape of the tool; nil: a shape
	Face      Face    // where sizes hold; but for the measured side, roundings are sizes too and take the wall
	Undercut  Undercut
	Fold      *Fold // of a fold line, on the first of its beads; nil: none
}

// Undercut is the declared undercut of a solid: its wall is waisted near the host level, by HostR of
// height, and its outline is that of the widest.
type Undercut struct {
	Depth float64 // how much narrower the waist is than the widest, mm a side; 0: none
	Rise  float64 // from the host level to the widest, mm
	R     float64 // rounding at the widest, mm
}

// Fold is a line along X about which the part is folded.
type Fold struct {
	Off   float64 // from the line to the middle of the solid that carries it, along Y, mm
	Half  float64 // from the line to the end of its beads and their roundings, mm
	Meets Face    // the faces that meet: the way it folds
	Axis  Face    // the face of the sheet that the line lies on
}

// Punch is a hole as it is ordered.
type Punch struct {
	Shape string    // circle, slot, rect or outline
	Size  geom.Vec2 // along the feature's X and Y, mm, of the cold part
}

// Held is the product that a feature is made for.
type Held struct {
	Plan      *outline.Outline // as it lies, in the feature's own plan; of a placed Feature in the part's
	Height    float64          // mm
	Edge      float64          // rounding of its lower edges, mm; 0: square
	Tolerance float64          // plus-minus of its plan over all, mm
	Mass      float64          // g; 0: not told
}

// ShortWall is the straight wall that is left between two roundings that meet, mm: a surface that a mesh
// closes.
const ShortWall = 0.2

// LeastDraft returns the slope from the vertical at which two roundings take a wall of the given height but
// for ShortWall: less draft leaves them no room. 0 where they have room at any.
func LeastDraft(height, hostR, endR float64) geom.Angle {
	// Of the height, roundings of the sum s take s (1 - sin a) at the slope a and the wall takes
	// ShortWall cos a.
	s := hostR + endR
	a := math.Asin(max(-1, min(1, (s-height)/math.Hypot(s, ShortWall)))) + math.Atan2(ShortWall, s)
	return geom.Angle(max(0, a))
}

// Env is what a kind may know of the job when it shapes a feature.
type Env struct {
	Values *job.Values
	Item   *job.Item
	Gauge  float64 // starting gauge, mm
	Sheet  material.Sheet
	Under  bool             // the underside of the sheet touches the tool
	Trim   *outline.Outline // of the part, in its plan
	Title  string           // of the job, with its revision
	Open   Opener           // files beside the job; what is opened is recorded in Part.Files
}

// Kind is a feature kind: its declaration and its shape.
type Kind struct {
	job.Kind
	// Shape returns the solids of one feature, in its own plan, the origin where it is placed.
	Shape func(Env) ([]Solid, error)
}

// Feature is one solid at one place of the part.
type Feature struct {
	ID         string // "I1/left/P3"
	Impression int    // which of Part.Impressions it is part of
	Kind       string
	Pos        finding.Pos // of the feature in the job file
	Parent     *Feature    // on whose floor or top it lies; nil: the land
	Values     *job.Values // its keys as written; those of all solids and places of it
	Middle     geom.Vec2   // of the bounding box it has in its own plan, placed
	Turn       geom.Angle  // of its X axis from the part's, counter-clockwise
	Solid                  // Outline placed in the part plan
	ZHost      float64     // height of the host level, measured side, mm
	ZEnd       float64     // height of the floor or top, measured side, mm
}

// ZHolds returns the height at which the outline holds.
func (f *Feature) ZHolds() float64 {
	if f.Holds == AtHost {
		return f.ZHost
	}
	return f.ZEnd
}

// Key returns the first of the names that the feature's kind has as a key, and the place of that key
// in the job; "" and the place of the feature without any.
func (f *Feature) Key(names ...string) (string, finding.Pos) {
	for _, n := range names {
		if f.Values != nil && f.Values.Declares(n) {
			return n, f.Values.Pos(n)
		}
	}
	return "", f.Pos
}

// Part is the resolved part of a job.
type Part struct {
	Job         *job.Job
	Sheet       material.Sheet
	Gauge       float64
	Outline     *outline.Outline // trim outline, part plan
	Features    []*Feature       // parents before children, in the order of the job
	Holes       []*Feature       // cut after forming, in the order of the job; not among Features
	Impressions []geom.Vec2      // of the parts on one tool from the first, as the pitch is asked; at least one
	Together    bool             // trimmed together: the pitch is that of the cold parts
	Plug        *Plug            // pushes the sheet down before the vacuum; nil: none
	Files       []string         // further files the job named, in order of use
}

// Title returns the job's name with its revision.
func (p *Part) Title() string {
	if p.Job.Revision == "" {
		return p.Job.Name
	}
	return p.Job.Name + " rev " + p.Job.Revision
}

// BuildError is the refusal of a feature whose numbers make no geometry.
type BuildError struct {
	Pos     finding.Pos
	Feature string
	Err     error
}

// Error returns file:line:column, the feature and the reason.
func (e *BuildError) Error() string { return fmt.Sprintf("%s: %s: %v", e.Pos, e.Feature, e.Err) }

// Unwrap returns the reason.
func (e *BuildError) Unwrap() error { return e.Err }

// KeyError blames one key of a feature, or one entry of its list; Resolve turns it into a BuildError at
// the place of that.
type KeyError struct {
	Key   string
	Entry int // of a list, counted from 1; 0 the key itself
	Err   error
}

// Error returns the reason.
func (e *KeyError) Error() string { return e.Key + ": " + e.Err.Error() }

// Unwrap returns the reason.
func (e *KeyError) Unwrap() error { return e.Err }

// Blame returns a KeyError.
func Blame(key, format string, args ...any) error {
	return &KeyError{Key: key, Err: fmt.Errorf(format, args...)}
}

// BlameEntry returns a KeyError for entry i, counted from 0, of the list at a key.
func BlameEntry(key string, i int, err error) error { return &KeyError{key, i + 1, err} }
