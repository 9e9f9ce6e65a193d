package shell

import (
	"platen/toolgen/outline"
)

// cutLine returns the trim line with the holes: what lies in one is away.
//
// ERROR: lines that cross each other.
func cutLine(trim *outline.Outline, holes []*outline.Outline) (*outline.Outline, error) {
	if len(holes) == 0 {
		return trim, nil
	}
	var loops [][]outline.Elem
	for _, o := range append([]*outline.Outline{trim}, holes...) {
		for i := range o.Loops {
			loops = append(loops, o.Loop(i))
		}
	}
	o, err := outline.New(loops...)
	if err == nil {
		o, err = o.Turned()
	}
	if err == nil {
		err = o.Simple()
	}
	return o, err
}
