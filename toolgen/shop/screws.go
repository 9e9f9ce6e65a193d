package shop

import (
	"fmt"
	"strings"

	"platen/toolgen/source"
)

// Screw is a metric coarse thread with the holes and the head that go with it, mm.
type Screw struct {
	Name        string  // "M6"
	D           float64 // nominal diameter
	Pitch       float64 // coarse
	Fine        float64 // clearance hole, fine series
	Medium      float64 // clearance hole, medium series
	Coarse      float64 // clearance hole, coarse series
	Tap         float64 // tapping drill
	Head        float64 // diameter of the cap head
	HeadHeight  float64 // height of the cap head
	Counterbore float64 // diameter for the cap head
}

// screws holds the table. Clearance: ISO 273; pitch: ISO 261; head: ISO 4762, copies agreeing. Tap:
// nominal less pitch, to the drill at hand. Counterbore: DIN 974-1, from memory, unverified.
var screws = [...]Screw{
	//name d   pitch  fine  med   coarse tap  head  k   cbore
	{"M3", 3, 0.50, 3.2, 3.4, 3.6, 2.5, 5.5, 3, 6.5},
	{"M4", 4, 0.70, 4.3, 4.5, 4.8, 3.3, 7, 4, 8},
	{"M5", 5, 0.80, 5.3, 5.5, 5.8, 4.2, 8.5, 5, 10},
	{"M6", 6, 1.00, 6.4, 6.6, 7.0, 5.0, 10, 6, 11},
	{"M8", 8, 1.25, 8.4, 9.0, 10.0, 6.8, 13, 8, 15},
	{"M10", 10, 1.50, 10.5, 11.0, 12.0, 8.5, 16, 10, 18},
	{"M12", 12, 1.75, 13.0, 13.5, 14.5, 10.2, 18, 12, 20},
}

// Screws returns the threads kept, thinnest first.
func Screws() []Screw { return append([]Screw(nil), screws[:]...) }

// ScrewNamed returns the thread of a name such as M6, upper and lower case alike.
func ScrewNamed(name string) (Screw, error) {
	known := make([]string, len(screws))
	for i, s := range screws {
		if strings.EqualFold(s.Name, strings.TrimSpace(name)) {
			return s, nil
		}
		known[i] = s.Name
	}
	return Screw{}, fmt.Errorf("unknown thread %q, allowed are %s", name, strings.Join(known, ", "))
}

// Describe returns the figures of a screw with their sources.
func (s Screw) Describe() []source.Row {
	row := func(label string, v float64, m source.Mark, from string) source.Row {
		return source.Row{Label: label, Value: fmt.Sprint(v), Unit: "mm", Mark: m, Source: m.Cite(from)}
	}
	return []source.Row{
		row("pitch", s.Pitch, source.C, "ISO 261"),
		row("clearance hole, fine", s.Fine, source.C, source.ISO273),
		row("clearance hole, medium", s.Medium, source.C, source.ISO273),
		row("clearance hole, coarse", s.Coarse, source.C, source.ISO273),
		row("tapping drill", s.Tap, source.C, "nominal less pitch, ISO 261"),
		row("head diameter", s.Head, source.C, source.ISO4762),
		row("head height", s.HeadHeight, source.C, source.ISO4762),
		row("counterbore", s.Counterbore, source.M, "DIN 974-1"),
	}
}

// Engagement returns the thread length to give a screw of nominal diameter d in aluminium; resin
// board wants threaded inserts.
func Engagement(d float64) source.Value { return source.Practice(2 * d) }
