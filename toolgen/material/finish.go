package material

import (
	"fmt"

	src "platen/toolgen/source"
)

// Finish is what one face of a sheet bears. No published figures were found: all are practice, and the
// maker's own stand in for them.
type Finish struct {
	Name    string
	Text    string    // what it is, one line
	Stretch src.Value // gauge over wall up to which it keeps what it is for; 0: no limit
	Loses   string    // what it loses beyond
	Away    string    // why its face stays off the tool; "": either way
	Least   Look      // the clearest the sheet can look with it
	Grain   bool      // its depth asks for draft where it touches the tool
}

// Finishes returns all finishes, plain first.
func Finishes() []Finish {
	return []Finish{
		{Name: "plain", Text: "nothing"},
		{Name: "grained", Text: "an embossed grain", Stretch: src.Practice(2.5), Loses: "its grain", Grain: true,
			Away: "the tool presses hot grain flat, and grain holds the part on the tool", Least: Translucent},
		{Name: "flocked", Text: "fibres on a glue", Stretch: src.Practice(2), Loses: "the cover of its fibres",
			Away: "the tool presses hot fibres flat, and they carry dust into the vents", Least: Opaque},
		{Name: "capped", Text: "a layer extruded on the sheet, for weather or gloss", Stretch: src.Practice(3), Loses: "the thickness of its cap",
			Away: "the tool marks the cap"},
		{Name: "mirror", Text: "a metal layer", Stretch: src.Practice(1.5), Loses: "its gloss, and crazes",
			Away: "the tool marks the metal", Least: Opaque},
		{Name: "film", Text: "a printed or barrier film laminated on", Stretch: src.Practice(2), Loses: "the film's print or barrier",
			Away: "the tool marks the film, and a vent blows a blister into it"},
	}
}

// FinishNamed returns a finish.
//
// ERROR: a name that is none.
func FinishNamed(name string) (Finish, error) {
	for _, f := range Finishes() {
		if f.Name == name {
			return f, nil
		}
	}
	return Finish{}, fmt.Errorf("unknown finish %q", name)
}
