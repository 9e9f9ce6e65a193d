package export

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"platen/toolgen/geom"
)

// Side says from which side of the tool a hole is drilled.
type Side uint8

// The sides of the tool.
const (
	Face Side = iota // the side the sheet touches
	Back             // the base of the block
)

// String returns the word of the drill list.
func (s Side) String() string {
	if s == Back {
		return "back"
	}
	return "face"
}

// Drill is one vacuum hole, a row of the drill list. Lengths are mm in the tool datum.
type Drill struct {
	ID         string    // stable name of the hole, unique in the list
	Feature    string    // feature the hole serves
	Reason     string    // why it is there
	At         geom.Vec3 // centre of the hole on the face
	Dia        float64   // diameter of the drill
	Depth      float64   // depth from the face, to full diameter
	BackDia    float64   // diameter of the back drill, 0 for none
	BackDepth  float64   // depth of the back drill from the base, to full diameter, 0 for none
	Axis       geom.Vec3 // unit vector into the tool
	From       Side      // side the hole is drilled from
	FormedWall *float64  // thickness of the formed sheet over the hole, nil while unknown
	Datum      string    // what the coordinates are measured from
}

// Reach returns the depth in diameters.
func (d Drill) Reach() float64 { return d.Depth / d.Dia }

// drillColumns is the header row; readers may rely on names and order.
var drillColumns = [...]string{
	"id", "feature", "reason", "x_mm", "y_mm", "z_face_mm", "dia_mm", "depth_mm",
	"back_drill_dia_mm", "back_drill_depth_mm", "axis_x", "axis_y", "axis_z", "drill_from",
	"formed_wall_mm", "reach_ratio", "datum",
}

// drillDecimals is the number of decimals of a number: a micrometre, below any drill press. axisDecimals is that
// of a direction: 0.1 micrometre over 100 mm.
const (
	drillDecimals = 3
	axisDecimals  = 6
)

// DrillCSV writes the drill list: RFC 4180 with CRLF, UTF-8 without byte order mark, one header row,
// a row a hole in the order given, decimal points, three decimals, six of the axis, never a negative zero.
//
// The formed wall is empty where it is unknown. Text can not become a formula in a spreadsheet: an
// apostrophe goes before a leading = + - @ (and before a leading apostrophe, so ReadDrillCSV can take
// it away again); numbers are never touched. Rows with a number that is not finite, a diameter or
// depth below 0.001, half a back drill, an axis that is not a unit vector, text with control
// characters, or an id that is empty or used twice are refused, and nothing is written.
func DrillCSV(w io.Writer, rows []Drill) error {
	buf := appendRow(nil, drillColumns[:])
	seen := make(map[string]int, len(rows))
	for i, d := range rows {
		if err := d.check(); err != nil {
			return fmt.Errorf("drill list: row %d %q: %w", i+1, d.ID, err)
		}
		if j, ok := seen[d.ID]; ok {
			return fmt.Errorf("drill list: row %d: id %q is used in row %d already", i+1, d.ID, j)
		}
		seen[d.ID] = i + 1
		buf = appendRow(buf, d.cells())
	}
	if _, err := w.Write(buf); err != nil {
		return fmt.Errorf("drill list: %w", err)
	}
	return nil
}

// leastSize is the smallest size that three decimals can tell from nothing, mm.
const leastSize = 0.001

func isSize(x float64) bool { return x >= leastSize && !math.IsInf(x, 0) }

// axisSlack is how far the length of an axis may be from 1.
const axisSlack = 1e-6

func (d Drill) check() error {
	for _, t := range []struct{ name, text string }{
		{"id", d.ID}, {"feature", d.Feature}, {"reason", d.Reason}, {"datum", d.Datum},
	} {
		if err := checkCell(t.text); err != nil {
			return fmt.Errorf("%s: %w", t.name, err)
		}
	}
	if d.ID == "" {
		return errors.New("id is empty")
	}
	if !d.At.IsFinite() {
		return fmt.Errorf("place %v is not finite", d.At)
	}
	if !isSize(d.Dia) || !isSize(d.Depth) {
		return fmt.Errorf("diameter %v mm and depth %v mm, both must be at least %v", d.Dia, d.Depth, leastSize)
	}
	if none := d.BackDia == 0 && d.BackDepth == 0; !none && !(isSize(d.BackDia) && isSize(d.BackDepth)) {
		return fmt.Errorf("back drill of diameter %v mm and depth %v mm, both must be at least %v, or both 0",
			d.BackDia, d.BackDepth, leastSize)
	}
	if !(math.Abs(d.Axis.Norm()-1) <= axisSlack) {
		return fmt.Errorf("axis %v is not a unit vector", d.Axis)
	}
	if d.From != Face && d.From != Back {
		return fmt.Errorf("side %d, only face or back are known", d.From)
	}
	if d.FormedWall != nil && (!(*d.FormedWall >= 0) || math.IsInf(*d.FormedWall, 0)) {
		return fmt.Errorf("formed wall %v mm, it must be 0 or more, or unknown", *d.FormedWall)
	}
	return nil
}

func (d Drill) cells() []string {
	wall := ""
	if d.FormedWall != nil {
		wall = fixed(*d.FormedWall)
	}
	return []string{
		guard(d.ID), guard(d.Feature), guard(d.Reason),
		fixed(d.At.X), fixed(d.At.Y), fixed(d.At.Z), fixed(d.Dia), fixed(d.Depth),
		fixed(d.BackDia), fixed(d.BackDepth), direction(d.Axis.X), direction(d.Axis.Y), direction(d.Axis.Z),
		d.From.String(), wall, fixed(d.Reach()), guard(d.Datum),
	}
}

// fixed writes a number in its decimals.
func fixed(x float64) string { return decimals(x, drillDecimals) }

// direction writes a part of a unit vector in its decimals.
func direction(x float64) string { return decimals(x, axisDecimals) }

// decimals writes x with n decimals and no negative zero.
func decimals(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}
