package toolgen

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/sheet"
)

// Measured is what was measured on a part that the job's tool made.
type Measured struct {
	Walls   []WallReading
	Lengths []LengthReading
}

// WallReading is a wall at a place of the cold part.
type WallReading struct {
	Line int       // in the file
	At   geom.Vec3 // part frame, on the contact side or near it, mm
	MM   float64
}

// LengthReading is a distance on the cold part.
type LengthReading struct {
	Line  int
	Asked geom.Vec3 // along X, Y and Z as the job asks, mm
	MM    float64
}

// MeasuredError is a file of measurements that can not be taken, or does not fit the job.
type MeasuredError struct{ Err error }

// Error says what is wrong and where.
func (e *MeasuredError) Error() string { return "measurements: " + e.Err.Error() }

// Unwrap returns what is wrong.
func (e *MeasuredError) Unwrap() error { return e.Err }

func wrong(format string, args ...any) error { return &MeasuredError{fmt.Errorf(format, args...)} }

// measuredColumns are the columns of a file of measurements, in any order.
var measuredColumns = []string{"kind", "x", "y", "z", "x2", "y2", "z2", "measured"}

// ReadMeasured reads measurements: CSV with the header kind,x,y,z,x2,y2,z2,measured. A wall row gives a
// place of the part and the wall there; a length row gives two places as the job asks them and their
// measured distance. All mm, part frame; empty coordinates are 0.
//
// ERROR: the line and what is allowed there.
func ReadMeasured(r io.Reader) (Measured, error) {
	var m Measured
	in := csv.NewReader(r)
	in.TrimLeadingSpace = true
	in.Comment = '#'
	head, err := in.Read()
	if err != nil {
		return m, wrong("no header; allowed: %s", strings.Join(measuredColumns, ","))
	}
	column := map[string]int{}
	for i, name := range head {
		column[strings.TrimSpace(name)] = i
	}
	for _, name := range []string{"kind", "x", "y", "z", "measured"} {
		if _, ok := column[name]; !ok {
			return m, wrong("column %q is missing; needed: %s (x2,y2,z2 for lengths)", name, strings.Join(measuredColumns, ","))
		}
	}
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return m, wrong("%w", err)
		}
		line, _ := in.FieldPos(0)
		if err := m.add(row, column, line); err != nil {
			return m, wrong("line %d: %w", line, err)
		}
	}
	if len(m.Walls)+len(m.Lengths) == 0 {
		return m, wrong("no rows")
	}
	return m, nil
}

func (m *Measured) add(row []string, column map[string]int, line int) error {
	var bad error
	number := func(name string) float64 {
		i, ok := column[name]
		if !ok || strings.TrimSpace(row[i]) == "" {
			return 0
		}
		v, err := strconv.ParseFloat(strings.TrimSpace(row[i]), 64)
		if (err != nil || math.IsNaN(v) || math.IsInf(v, 0)) && bad == nil {
			bad = fmt.Errorf("%s %q is no number; allowed: plain decimals, mm", name, row[i])
		}
		return v
	}
	a := geom.Vec3{X: number("x"), Y: number("y"), Z: number("z")}
	b := geom.Vec3{X: number("x2"), Y: number("y2"), Z: number("z2")}
	mm := number("measured")
	switch kind := strings.TrimSpace(row[column["kind"]]); {
	case bad != nil:
		return bad
	case kind != "wall" && kind != "length":
		return fmt.Errorf("kind %q; allowed: wall, length", kind)
	case !(mm > 0):
		return fmt.Errorf("measured %g mm; allowed: above 0", mm)
	case kind == "wall":
		m.Walls = append(m.Walls, WallReading{line, a, mm})
	case a == b:
		return errors.New("a length needs two places: x,y,z and x2,y2,z2")
	default:
		m.Lengths = append(m.Lengths, LengthReading{line, b.Sub(a), mm})
	}
	return nil
}

// Calibration is the fit of the sheet's stiffening and of the shrinkage to measurements.
type Calibration struct {
	Stiffening float64    `json:"stiffening,omitempty"` // C2/C1; 0: no walls measured
	AtEnd      bool       `json:"at_end_of_range"`      // the fit ran to the end of its range: the walls do not tell
	Walls      []Residual `json:"walls"`                // by reading
	Shrink     [3]float64 `json:"shrink_pct"`           // per cent along X, Y, Z as the job writes it
	Fitted     [3]bool    `json:"shrink_fitted"`        // which of them the lengths tell
	Lengths    []Residual `json:"lengths"`              // by reading
}

// Residual is a reading beside what the fit says.
type Residual struct {
	Line     int     `json:"line"` // of the file of measurements
	Measured float64 `json:"measured_mm"`
	Computed float64 `json:"computed_mm"`
}

// RMS returns the root of the mean square of residuals, mm.
func RMS(rs []Residual) float64 {
	sum := 0.0
	for _, r := range rs {
		sum += (r.Measured - r.Computed) * (r.Measured - r.Computed)
	}
	return math.Sqrt(sum / float64(max(1, len(rs))))
}

// Calibrate fits the job to measurements of a part that its tool, as the job now stands, has made.
//
// ERROR: as Check; places where the job has no sheet; lengths that do not tell the axes apart.
func Calibrate(ctx context.Context, j *job.Job, o Options, m Measured) (*Calibration, error) {
	o.NoSheet, o.NoBand, o.NoStack, o.NoClose = len(m.Walls) == 0, true, true, true
	r, err := Check(ctx, j, o)
	if err != nil {
		return nil, err
	}
	c := &Calibration{}
	if len(m.Walls) > 0 {
		if err := c.walls(ctx, r, m.Walls); err != nil {
			return nil, err
		}
	}
	if len(m.Lengths) > 0 {
		if r.Body.Shrink.Off {
			return nil, wrong("the job has no shrink allowance (shrink.off), so lengths can not be told from shrinkage")
		}
		return c, c.lengths(r.Body, m.Lengths)
	}
	return c, nil
}

const (
	nearSheet = 3.0 // mm; a wall measured farther from the formed sheet is at no place of the part
	// Range of the fit of the stiffening and how close it goes, in natural logarithms.
	leastStiff, mostStiff = 0.01, 3.0
	stiffStep             = 0.02
)

// walls fits the stiffening by golden sections over its logarithm: forming again at each.
func (c *Calibration) walls(ctx context.Context, r *Result, ws []WallReading) error {
	for _, w := range ws {
		if gap := r.Formed.Gap(r.Body.Map.Point(w.At)); gap > nearSheet {
			return wrong("line %d: part (%.2f, %.2f, %.2f) lies %.1f mm off the formed sheet; allowed: %.0f mm", w.Line, w.At.X, w.At.Y, w.At.Z, gap, nearSheet)
		}
	}
	try := func(logK float64) (float64, []Residual, error) {
		r.opt.progress(fmt.Sprintf("stiffening %.3f", math.Exp(logK)))
		f, err := sheet.Form(ctx, r.Body, sheet.Options{Stiffening: math.Exp(logK)})
		if err != nil {
			return 0, nil, err
		}
		var rs []Residual
		for _, w := range ws {
			mm, ok := f.Wall(r.Body.Map.Point(w.At))
			if !ok {
				return 0, nil, wrong("line %d: the sheet folds there; no wall is computed in webs", w.Line)
			}
			rs = append(rs, Residual{w.Line, w.MM, mm})
		}
		return RMS(rs), rs, nil
	}
	golden := (math.Sqrt(5) - 1) / 2
	a, b := math.Log(leastStiff), math.Log(mostStiff)
	x, y := b-golden*(b-a), a+golden*(b-a)
	fx, _, err := try(x)
	if err != nil {
		return err
	}
	fy, _, err := try(y)
	if err != nil {
		return err
	}
	for b-a > stiffStep {
		if fx <= fy {
			b, y, fy = y, x, fx
			x = b - golden*(b-a)
			fx, _, err = try(x)
		} else {
			a, x, fx = x, y, fy
			y = a + golden*(b-a)
			fy, _, err = try(y)
		}
		if err != nil {
			return err
		}
	}
	mid := (a + b) / 2
	c.Stiffening = math.Exp(mid)
	c.AtEnd = mid-math.Log(leastStiff) < 2*stiffStep || math.Log(mostStiff)-mid < 2*stiffStep
	_, c.Walls, err = try(mid)
	return err
}

// tells is the least share of the squared lengths that must lie along an axis for it to be fitted.
const tells = 1e-3

// lengths fits part over asked along the axes, by least squares of the lengths.
//
// SOURCE: derived: a distance with the parts d along the axes measures m = sqrt(sum q d^2), q the
// squared ratios; near q = 1 that is linear in q: sum q d^2/(2m) = m/2.
func (c *Calibration) lengths(b *body.Body, ls []LengthReading) error {
	var n [3][4]float64
	var along [3]float64
	all := 0.0
	rows := make([][4]float64, len(ls))
	for i, l := range ls {
		d := [3]float64{l.Asked.X * l.Asked.X, l.Asked.Y * l.Asked.Y, l.Asked.Z * l.Asked.Z}
		for k := range d {
			along[k] += d[k]
			all += d[k]
			rows[i][k] = d[k] / (2 * l.MM)
		}
		rows[i][3] = l.MM / 2
	}
	for k := range along {
		c.Fitted[k] = along[k] > tells*all
	}
	for _, row := range rows {
		for k := range 3 { // an axis that is not fitted stays as it is
			if !c.Fitted[k] {
				row[3] -= row[k]
				row[k] = 0
			}
		}
		for k := range 3 {
			for l := range 4 {
				n[k][l] += row[k] * row[l]
			}
		}
	}
	for k := range 3 {
		if !c.Fitted[k] {
			n[k] = [4]float64{}
			n[k][k], n[k][3] = 1, 1
		}
	}
	q, ok := solve(n)
	if !ok {
		return wrong("the lengths do not tell the axes apart; measure along X, Y and Z by themselves")
	}
	for _, l := range ls {
		m := math.Sqrt(q[0]*l.Asked.X*l.Asked.X + q[1]*l.Asked.Y*l.Asked.Y + q[2]*l.Asked.Z*l.Asked.Z)
		c.Lengths = append(c.Lengths, Residual{l.Line, l.MM, m})
	}
	for k, a := range [...]body.Axis{b.Shrink.X, b.Shrink.Y, b.Shrink.Z} {
		c.Shrink[k] = 100 * b.Shrink.Own(a.Factor/math.Sqrt(q[k]))
	}
	return nil
}

// solve solves three equations by elimination with pivots; ok is false when they do not tell.
func solve(n [3][4]float64) (q [3]float64, ok bool) {
	for k := range 3 {
		p := k
		for i := k + 1; i < 3; i++ {
			if math.Abs(n[i][k]) > math.Abs(n[p][k]) {
				p = i
			}
		}
		n[k], n[p] = n[p], n[k]
		if math.Abs(n[k][k]) < 1e-9 {
			return q, false
		}
		for i := range 3 {
			if i == k {
				continue
			}
			f := n[i][k] / n[k][k]
			for l := k; l < 4; l++ {
				n[i][l] -= f * n[k][l]
			}
		}
	}
	for k := range 3 {
		q[k] = n[k][3] / n[k][k]
		if !(q[k] > leastRatio && q[k] < mostRatio) {
			return q, false
		}
	}
	return q, true
}

// Squared part over asked that can be meant: beyond, two axes were not told apart or a length is wrong.
const leastRatio, mostRatio = 0.8, 1.2

// Lines returns what to paste into the job file.
func (c *Calibration) Lines() string {
	var b strings.Builder
	if c.Stiffening > 0 {
		fmt.Fprintf(&b, "sheet:\n  stiffening: %.3g   # fitted to %d walls, rms %.3f mm; keep the other keys of sheet\n", c.Stiffening, len(c.Walls), RMS(c.Walls))
	}
	if len(c.Lengths) > 0 {
		b.WriteString("shrink:\n")
		for k, name := range [...]string{"x", "y", "z"} {
			if c.Fitted[k] {
				fmt.Fprintf(&b, "  %s: %.3f\n", name, c.Shrink[k])
			}
		}
		fmt.Fprintf(&b, "  reason: \"fitted to %d measured lengths, rms %.3f mm\"\n", len(c.Lengths), RMS(c.Lengths))
	}
	return b.String()
}
