package features

import (
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/sdf"
)

// SnapButton is the raised half of a snap.
var SnapButton = part.Kind{
	Kind: job.Kind{
		Name: "snap_button",
		Text: "raised half of a snap, waisted so that it holds behind the lip of its socket; all its sizes and roundings hold on the formed face that meets the socket",
		On:   "raised or sunk",
		Params: append([]job.Param{
			{Key: "diameter", Type: job.Length, Default: 12.0, Min: 3, Max: 200, Source: "common practice, no source: 8 to 15 mm", Text: "at its widest"},
			{Key: "height", Type: job.Length, Min: 1, Max: 60, Source: practice, Text: "from the level it stands on to its top; not given: what its roundings and its undercut need"},
		}, snapKeys("from the level it stands on to its widest", "of its top")...),
		Example: "kind: snap_button\n",
	},
	Shape: func(e part.Env) ([]part.Solid, error) { return snap(e, part.Button) },
}

// SnapSocket is the recess that a SnapButton goes into.
var SnapSocket = part.Kind{
	Kind: job.Kind{
		Name: "snap_socket",
		Text: "recess of a snap, with a lip that its button is pressed through; all its sizes and roundings hold on the formed face that meets the button",
		On:   "raised or sunk",
		Params: append([]job.Param{
			{Key: "diameter", Type: job.Length, Default: 12.0, Min: 3, Max: 200, Source: "common practice, no source: 8 to 15 mm", Text: "of the button it takes, at its widest"},
			{Key: "depth", Type: job.Length, Min: 1, Max: 60, Source: practice, Text: "from the level it sinks from to its floor; not given: 0.5 mm more than its button's height"},
		}, snapKeys("from the level it sinks from to its widest", "of its floor")...),
		Example: "kind: snap_socket\n",
	},
	Shape: func(e part.Env) ([]part.Solid, error) { return snap(e, part.Socket) },
}

// snapKeys are the keys that both halves share.
func snapKeys(widest, end string) []job.Param {
	return []job.Param{
		{Key: "interference", Type: job.Length, Default: 0.3, Min: 0.02, Max: 4, Source: "common practice, no source: 0.2 to 0.5 mm", Text: "by which the button at its widest is larger in diameter than the lip"},
		{Key: "undercut", Type: job.Length, Min: 0.05, Max: 5, Source: practice, Text: "how much narrower the waist or lip is than the widest, a side; not given: half the interference and 0.08 mm, so that the closed pair is free of strain"},
		{Key: "widest", Type: job.Length, Min: 0.5, Max: 60, Source: practice, Text: widest + "; not given: what the roundings and the undercut need"},
		{Key: "lead", Type: job.Angle, Default: 20.0, Min: 5, Max: 60, Source: practice, Text: "slope from the vertical between the widest and the end, that leads the button in"},
		{Key: "root", Type: job.Length, Min: 0.3, Max: 20, Source: practice, Text: "rounding at the waist or lip; not given: 2 gauges and 0.2 mm"},
		{Key: "round", Type: job.Length, Min: 0.3, Max: 20, Source: practice, Text: "rounding at the widest; not given: 1.5 gauges and 0.2 mm"},
		{Key: "crown", Type: job.Length, Min: 0.3, Max: 20, Source: practice, Text: "rounding " + end + "; not given: 2 gauges and 0.2 mm"},
		{Key: "face", Type: job.Choice, Default: "upper", Choices: []string{"upper", "underside"}, Source: "the upper sides of a pack meet when it folds up", Text: "side of the sheet that meets the other half"},
	}
}

// Room that a snap takes beyond what its numbers force, mm.
const (
	snapFree  = 0.08 // between the faces of the closed pair, a side
	snapFloor = 0.5  // between the button's top and the socket's floor
	snapSpare = 0.05 // of height, so that a wall is left between roundings
)

// How unlike the formed walls of a snap may be before its default heights no longer suffice for the tool behind
// them, shares of the gauge: a little more than area balance and forming simulation give for buttons of 12 mm.
const (
	snapWaist = 0.13 // waist and widest: the tool's undercut is that much deeper
	snapLevel = 0.4  // the level it lies on and the widest
	snapEnd   = 0.7  // its end and the widest
)

// snap returns the solid of a button or socket. Both have the same section, but for the room that the
// undercut leaves beyond the interference.
func snap(e part.Env, use part.Use) ([]part.Solid, error) {
	v := e.Values
	given := func(key string, otherwise float64) float64 {
		if v.Has(key) {
			return v.Length(key)
		}
		return otherwise
	}
	tight := v.Length("interference")
	s := part.Solid{
		Use: use, Draft: v.Angle("lead"), Holds: part.AtHost, Face: part.Upper,
		HostR: given("root", 2*e.Gauge+0.2), EndR: given("crown", 2*e.Gauge+0.2),
	}
	s.Undercut.Depth, s.Undercut.R = given("undercut", tight/2+snapFree), given("round", 1.5*e.Gauge+0.2)
	if s.Undercut.Depth <= tight/2 {
		return nil, part.Blame("undercut", "%.3f mm is not more than half the interference of %.3f mm: closed, the pair would stay strained; at least %.3f mm",
			s.Undercut.Depth, tight, tight/2+0.01)
	}
	s.Undercut.Rise = given("widest", up1(sdf.LeastRise(s.Undercut.Depth+snapWaist*e.Gauge, s.HostR, s.Undercut.R+snapLevel*e.Gauge)))
	k := ((90*geom.Degree - s.Draft) / 2).Tan()
	need := up1(s.Undercut.Rise + (s.Undercut.R+snapEnd*e.Gauge)*s.Draft.Sin() + k*s.EndR*s.Draft.Cos() + snapSpare)
	d := v.Length("diameter")
	if use == part.Button {
		s.Height = given("height", need)
	} else {
		s.Height = given("depth", need+snapFloor)
		d += 2*s.Undercut.Depth - tight // at the widest
	}
	if v.Choice("face") == "underside" {
		s.Face = part.Underside
	}
	s.Sunk = (use == part.Socket) == (s.Face == part.Upper)
	var err error
	if s.Outline, err = outline.Circle(d / 2); err != nil {
		return nil, part.Blame("diameter", "%w", err)
	}
	return []part.Solid{s}, nil
}

// up1 rounds up to a tenth of a millimetre.
func up1(x float64) float64 { return math.Ceil(x*10-1e-9) / 10 }
