package export

import (
	"errors"
	"fmt"
	"io"

	"platen/toolgen/geom"
)

// Punch is one hole cut through the formed part, a row of the punch list. Lengths are mm of the cold part,
// in the part frame.
type Punch struct {
	ID      string     // unique in the list
	Feature string     // name of the feature in the job, without the place
	Shape   string     // circle, slot, rect or outline
	At      geom.Vec3  // middle of its bounding box, on the level it is cut through
	Size    geom.Vec2  // along its own X and Y; a circle has its diameter twice
	Turn    geom.Angle // of its own X from the part's, counter-clockwise seen from above
	Scale   string     // what the sizes are those of
	Datum   string     // what the coordinates are measured from
}

// punchColumns is the header row; readers may rely on names and order.
var punchColumns = [...]string{
	"id", "feature", "shape", "x_mm", "y_mm", "z_mm", "size_x_mm", "size_y_mm", "turn_deg", "scale", "datum",
}

// PunchCSV writes the punch list in the form of the drill list: RFC 4180, three decimals, text that is no
// formula.
//
// ERROR: a row with a number that is not finite, a size below 0.001, text with control characters, or an id
// that is empty or used twice; nothing is written then.
func PunchCSV(w io.Writer, rows []Punch) error {
	buf := appendRow(nil, punchColumns[:])
	seen := make(map[string]int, len(rows))
	for i, p := range rows {
		if err := p.check(); err != nil {
			return fmt.Errorf("punch list: row %d %q: %w", i+1, p.ID, err)
		}
		if j, ok := seen[p.ID]; ok {
			return fmt.Errorf("punch list: row %d: id %q is used in row %d already", i+1, p.ID, j)
		}
		seen[p.ID] = i + 1
		buf = appendRow(buf, []string{
			guard(p.ID), guard(p.Feature), guard(p.Shape), fixed(p.At.X), fixed(p.At.Y), fixed(p.At.Z),
			fixed(p.Size.X), fixed(p.Size.Y), fixed(p.Turn.Degrees()), guard(p.Scale), guard(p.Datum),
		})
	}
	if _, err := w.Write(buf); err != nil {
		return fmt.Errorf("punch list: %w", err)
	}
	return nil
}

func (p Punch) check() error {
	for _, t := range []string{p.ID, p.Feature, p.Shape, p.Scale, p.Datum} {
		if err := checkCell(t); err != nil {
			return err
		}
	}
	switch {
	case p.ID == "":
		return errors.New("id is empty")
	case !p.At.IsFinite() || float64(p.Turn-p.Turn) != 0:
		return fmt.Errorf("place %v turned by %v is not finite", p.At, p.Turn)
	case !isSize(p.Size.X) || !isSize(p.Size.Y):
		return fmt.Errorf("size %v mm, both must be at least %v", p.Size, leastSize)
	}
	return nil
}
