package material

import "platen/toolgen/source"

// Class sorts tool materials by how they are made and how they warm.
type Class uint8

// The classes.
const (
	Metal Class = iota // warms throughout
	Cast               // filled resin, cast to a model
	Board              // resin board, warms in the skin
	Wood               // warms in the skin and moves with moisture
)

// String returns the word for the class.
func (c Class) String() string {
	return [...]string{"metal", "cast resin", "tooling board", "wood"}[c]
}

// Tool is what is known of one tool material.
type Tool struct {
	Name    string   // as job files write it
	Aliases []string // other names a job may use
	Class   Class

	Density      source.Range // kg/m3
	Expansion    source.Range // linear, 1/K; both ends 0 where moisture rules and heat is left out
	Conductivity source.Range // W/(m K)
	Life         source.Range // parts before the face wears
	Cost         source.Value // of the blank and its cutting, aluminium plate = 1
	LeadDays     source.Range // working days to a finished tool
	LeastWall    source.Value // solid to leave between two voids or a void and the outside, mm
	HeatLimit    source.Range // temperature of the face in use, degC; both ends 0: none in use
	Movement     source.Advice
	Hazards      []source.Advice // of cutting and handling
}

// Alpha returns the linear expansion to reckon the tool's size with, 1/K: the middle of the range.
func (t Tool) Alpha() float64 { return t.Expansion.Mid().V }

// WarmsThrough reports whether the whole tool takes the temperature of its face, so that its bulk
// expansion holds.
func (t Tool) WarmsThrough() bool { return t.Class == Metal }

// HeatLimitAt returns the lower end of the heat limit in degC. ok is false where there is none in
// use.
func (t Tool) HeatLimitAt() (limit source.Value, ok bool) {
	if t.HeatLimit.High == 0 {
		return source.Value{}, false
	}
	return source.Of(t.HeatLimit.Low, t.HeatLimit.Mark, t.HeatLimit.Source), true
}
