package export

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"platen/toolgen/geom"
)

// ReadDrillCSV reads a list that DrillCSV has written. Numbers come back as they stand in the file,
// text without its guard. A header that differs, a cell that is no number, a reach that does not fit
// depth and diameter, or a row DrillCSV would refuse is an error with its line.
func ReadDrillCSV(r io.Reader) ([]Drill, error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = len(drillColumns)
	head, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("drill list: header: %w", err)
	}
	if !slices.Equal(head, drillColumns[:]) {
		return nil, fmt.Errorf("drill list: header %q, want %q", strings.Join(head, ","), strings.Join(drillColumns[:], ","))
	}
	var rows []Drill
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, fmt.Errorf("drill list: %w", err)
		}
		d, err := parseDrill(cells)
		if err != nil {
			line, _ := in.FieldPos(0)
			return nil, fmt.Errorf("drill list: line %d: %w", line, err)
		}
		rows = append(rows, d)
	}
}

func parseDrill(cells []string) (Drill, error) {
	var bad error
	num := func(col int) float64 {
		x, err := strconv.ParseFloat(cells[col], 64)
		if err != nil && bad == nil {
			bad = fmt.Errorf("%s: %q is not a number", drillColumns[col], cells[col])
		}
		return x
	}
	d := Drill{
		ID: unguard(cells[0]), Feature: unguard(cells[1]), Reason: unguard(cells[2]),
		At:  geom.Vec3{X: num(3), Y: num(4), Z: num(5)},
		Dia: num(6), Depth: num(7), BackDia: num(8), BackDepth: num(9),
		Axis:  geom.Vec3{X: num(10), Y: num(11), Z: num(12)},
		Datum: unguard(cells[16]),
	}
	switch cells[13] {
	case Face.String():
		d.From = Face
	case Back.String():
		d.From = Back
	default:
		return Drill{}, fmt.Errorf("drill_from: %q, only face or back are allowed", cells[13])
	}
	if cells[14] != "" {
		wall := num(14)
		d.FormedWall = &wall
	}
	reach := num(15)
	if bad != nil {
		return Drill{}, bad
	}
	return d, checkRead(d, reach)
}

// checkRead checks a row as DrillCSV does, allowing for the rounding of the file: each number may be
// off by half a unit of its last decimal.
func checkRead(d Drill, reach float64) error {
	const half = 0.0005                                     // half of 10^-drillDecimals
	if off := math.Abs(d.Axis.Norm() - 1); !(off <= 1e-6) { // half of 10^-axisDecimals a part
		return fmt.Errorf("axis %v is not a unit vector", d.Axis)
	}
	c := d
	c.Axis = c.Axis.Unit()
	if err := c.check(); err != nil {
		return err
	}
	low, high := (d.Depth-half)/(d.Dia+half)-half, (d.Depth+half)/(d.Dia-half)+half
	if !(low <= reach && reach <= high) {
		return fmt.Errorf("reach_ratio: %v, depth over diameter is %.3f", reach, d.Reach())
	}
	return nil
}
