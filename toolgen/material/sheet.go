// Package material owns the data of the sheets a shop forms and of the stuff its tools are cut
// from. Every figure carries its mark and its source; nothing here was measured for this program.
//
// Temperatures are degC, lengths mm, ratios 1 (never per cent), angles of tables degrees. Heat data
// are in SI: kg/m3, J/(kg K), W/(m K), 1/K. Start at SheetNamed and ToolNamed.
package material

import (
	"platen/toolgen/geom"
	"platen/toolgen/source"
)

// Kind says on which side of a wall the tool stands.
type Kind uint8

// The kinds of forming.
const (
	Female Kind = iota // the sheet goes into the tool
	Male               // the sheet goes over the tool
)

// String returns the trade's word.
func (k Kind) String() string { return [...]string{"female", "male"}[k] }

// Structure says how the resin sets.
type Structure uint8

// The structures.
const (
	Amorphous   Structure = iota // softens above its glass transition
	Crystalline                  // melts; shrinks more and grips a male tool harder
)

// String returns the chemist's word.
func (s Structure) String() string { return [...]string{"amorphous", "crystalline"}[s] }

// Look says what light does in the sheet.
type Look uint8

// The looks of a sheet as sold without pigment.
const (
	Clear Look = iota
	Translucent
	Opaque
	Black // conductive by carbon, so in no other colour
)

// String returns the word for the look.
func (l Look) String() string { return [...]string{"clear", "translucent", "opaque", "black"}[l] }

// Sheet is what is known of one sheet material.
type Sheet struct {
	Name       string    // as job files write it
	Aliases    []string  // other names a job may use
	Structure  Structure // how it sets
	Look       Look      // clear, translucent, opaque or black
	Conductive bool      // drains charge by carbon

	Forming source.Range  // core temperature at which it forms, degC
	Core    source.Value  // core temperature to start with, degC
	Tool    source.Range  // temperature of the tool's surface, degC
	ToolAt  source.Value  // tool temperature to start with, degC
	Release source.Value  // part is stiff enough to leave the tool, degC
	Caution source.Advice // what heat does to it
	Shrink  ShrinkTable   // mould shrinkage
	Trial   source.Advice // empty where no trial shot is needed
	Heat    Heat          // data for heating, cooling and weight
	Drying  Drying        // before forming
	Areal   ArealLimits   // how far it may be drawn
	Fold    Fold          // as a hinge
	Strip   Strip         // how far it may be stretched off an undercut
	Draft   [2]Draft      // by Kind
	Vent    VentRule      // widest hole that leaves no mark
	Modulus source.Value  // of elasticity at room temperature, a short load, MPa
	Stiff   source.Advice // how it feels as a part
}

// Poisson returns Poisson's ratio of all sheets.
func Poisson() source.Value { return source.Memory(0.38) }

// Heat holds the physical data.
type Heat struct {
	Density      source.Value // kg/m3
	SpecificHeat source.Value // J/(kg K)
	Conductivity source.Value // W/(m K)
	Expansion    source.Value // linear, 1/K
	Glass        source.Value // glass transition, degC
	Deflection   source.Range // heat deflection at 0.45 MPa, degC
	Latent       source.Value // heat of melting taken up on the way to forming, J/kg; 0 if amorphous
}

// Diffusivity returns k / (rho cp).
//
// UNIT: m2/s.
func (h Heat) Diffusivity() source.Value {
	mark := source.Weaker(source.D, source.Weaker(h.Conductivity.Mark,
		source.Weaker(h.Density.Mark, h.SpecificHeat.Mark)))
	return source.Value{
		V:      h.Conductivity.V / (h.Density.V * h.SpecificHeat.V),
		Mark:   mark,
		Source: "derived: conductivity / (density x specific heat)",
	}
}

// ArealLimits says how much larger than the sheet it is drawn from a part may be.
type ArealLimits struct {
	Free source.Value // part area / sheet area, vacuum only
	Plug source.Value // the same with a plug
}

// Draft says how steep a wall may be. Degrees from the pull.
type Draft struct {
	Min  source.Value // below it the part does not come off, deg
	Want source.Value // good practice, deg
}

// DraftMin returns the least draft of an untextured wall.
func (s Sheet) DraftMin(k Kind) geom.Angle { return geom.Angle(s.Draft[k].Min.V) * geom.Degree }

// DraftWant returns the draft of good practice for an untextured wall.
func (s Sheet) DraftWant(k Kind) geom.Angle { return geom.Angle(s.Draft[k].Want.V) * geom.Degree }

// Folds grades a sheet as a fold hinge.
type Folds uint8

// The grades of a fold hinge.
const (
	NoFold    Folds = iota // breaks
	FewFolds               // opens a handful of times
	SomeFolds              // tens to hundreds
	ManyFolds              // thousands
)

// String returns the words for the grade.
func (f Folds) String() string {
	return [...]string{"unsuitable", "a few folds", "tens to hundreds of folds", "thousands of folds"}[f]
}

// Fold says how a sheet serves as a fold hinge at 0.3 to 0.6 mm.
type Fold struct {
	Grade Folds
	Note  source.Advice
}

// Strip says what a formed wall takes that is stretched cold over something wider for a moment: off the
// undercut of its tool, or a button through its socket.
type Strip struct {
	Strain source.Value // hoop strain, a few times and for a moment, ratio
	Depth  source.Value // undercut a side that comes off without slides, mm
}

// VentRule gives the widest vacuum hole as a share of the formed wall, held between two ends.
type VentRule struct {
	Share source.Value // hole / formed wall
	Least source.Value // mm
	Most  source.Value // mm
}

// Diameter returns the widest vacuum hole for a formed wall of the given thickness.
//
// UNIT: mm.
func (v VentRule) Diameter(wall float64) source.Value {
	mark := source.Weaker(v.Share.Mark, source.Weaker(v.Least.Mark, v.Most.Mark))
	return source.Value{
		V:      min(max(v.Share.V*wall, v.Least.V), v.Most.V),
		Mark:   mark,
		Source: v.Share.Source,
	}
}

// IsCrystalline reports whether the resin melts rather than softens.
func (s Sheet) IsCrystalline() bool { return s.Structure == Crystalline }

// NeedsTrial reports whether a trial shot should come before the tool is finished.
func (s Sheet) NeedsTrial() bool { return s.Trial.Text != "" }

// Summary returns the kind of sheet in a few words, e.g. "amorphous, opaque".
func (s Sheet) Summary() string {
	words := s.Structure.String() + ", " + s.Look.String()
	if s.Conductive {
		words += ", conductive"
	}
	return words
}
