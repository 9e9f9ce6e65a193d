package drawing

import (
	"errors"
	"math"
	"slices"
	"strings"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// mostMeetings bounds the pairs of elements whose boxes overlap, hence the work of looking for crossings.
// A plain drawing has a few an element.
const mostMeetings = 2_000_000

// mostWithin bounds the pairs of loops of which one begins in the box of the other: the work of finding
// holes. A plate with 10,000 holes has 10,000.
const mostWithin = 1_000_000

// finish makes the outline of what was collected.
func (c *collector) finish(format string, unit Unit) (*Drawing, error) {
	if len(c.faults) == 0 && len(c.strands) == 0 {
		c.fault(Place{}, "nothing to read: no closed line%s", c.onLayers())
	}
	if len(c.faults) == 0 {
		c.refuseTwins()
	}
	var loops []loop
	if len(c.faults) == 0 {
		loops = c.chain()
	}
	if len(loops) > mostLoops {
		c.fault(Place{}, "%d loops; at most %d are read", len(loops), mostLoops)
	}
	if err := c.refusal(format); err != nil {
		return nil, err
	}
	o, depths := c.oriented(loops)
	if o != nil {
		c.refuseCrossing(o, loops)
	}
	if err := c.refusal(format); err != nil {
		return nil, err
	}
	d := &Drawing{Outline: o, Bounds: o.Bounds(), Unit: unit}
	for i, l := range loops {
		es, box := o.Loop(i), geom.EmptyBox2()
		for _, e := range es {
			box = box.Join(e.Bounds())
		}
		d.Loops = append(d.Loops, Loop{c.strands[l.first].place, depths[i], math.Abs(outline.Area(es)), box, l.gap})
	}
	d.Warnings = c.warnings(d)
	return d, nil
}

// oriented returns the outline with every loop run the right way round, and the depths of the loops.
func (c *collector) oriented(loops []loop) (*outline.Outline, []int) {
	elems := make([][]outline.Elem, len(loops))
	for i, l := range loops {
		for _, s := range l.segs {
			elems[i] = s.elems(elems[i])
		}
		if len(elems[i]) < 2 {
			c.fault(c.strands[l.first].place, "a loop of one element")
		}
	}
	if len(c.faults) > 0 {
		return nil, nil
	}
	o, err := outline.New(elems...)
	if err != nil {
		c.refuseLoop(elems, loops, err)
		return nil, nil
	}
	if c.refuseCrowd(o); len(c.faults) > 0 {
		return nil, nil
	}
	depths := o.Depths()
	turned := false
	for i, depth := range depths {
		if (outline.Area(elems[i]) > 0) == (depth%2 == 0) {
			continue
		}
		turned = true
		slices.Reverse(elems[i])
		for k := range elems[i] {
			elems[i][k] = elems[i][k].Reversed()
		}
		slices.Reverse(loops[i].segs)
		slices.Reverse(loops[i].from)
	}
	if !turned {
		return o, depths
	}
	o, err = outline.New(elems...)
	if err != nil {
		c.refuseLoop(elems, loops, err)
		return nil, nil
	}
	return o, depths
}

// refuseLoop finds the loop that makes no outline.
func (c *collector) refuseLoop(elems [][]outline.Elem, loops []loop, err error) {
	for i, l := range elems {
		if _, err := outline.New(l); err != nil {
			c.fault(c.strands[loops[i].first].place, "the loop can not be taken: %v", err)
		}
	}
	if len(c.faults) == 0 {
		c.fault(Place{}, "can not be taken: %v", err)
	}
}

// refuseCrowd refuses what would take long to look through.
func (c *collector) refuseCrowd(o *outline.Outline) {
	if o.Crowded(mostMeetings) {
		c.fault(Place{}, "too many lines cross or lie slanted side by side: more than %d pairs to look at", mostMeetings)
		return
	}
	boxes := make([]geom.Box2, len(o.Loops))
	for i := range boxes {
		boxes[i] = geom.EmptyBox2()
		for _, e := range o.Loop(i) {
			boxes[i] = boxes[i].Join(e.Bounds())
		}
	}
	n := 0
	for i, r := range o.Loops {
		p := o.Elems[r[0]].A
		for j := range boxes {
			if i != j && boxes[j].Overlaps(geom.Box2{Min: p, Max: p}) {
				n++
			}
		}
	}
	if n > mostWithin {
		c.fault(Place{}, "too many loops lie within each other: more than %d pairs", mostWithin)
	}
}

// refuseCrossing records where loops meet themselves or each other.
func (c *collector) refuseCrossing(o *outline.Outline, loops []loop) {
	err := o.Simple()
	if err == nil {
		return
	}
	var x *outline.Crossing
	if !errors.As(err, &x) {
		c.fault(Place{}, "can not be taken: %v", err)
		return
	}
	p, q := c.source(o, loops, x.Elems[0]), c.source(o, loops, x.Elems[1])
	if p.Number == q.Number && p.Line == q.Line {
		c.fault(c.at(p, x.At), "crosses or touches itself")
		return
	}
	if p.Number > q.Number {
		p, q = q, p
	}
	q.HasAt = false
	c.fault(c.at(p, x.At), "crosses or touches %s", q)
}

// source returns the place of the entity that element i came from.
func (c *collector) source(o *outline.Outline, loops []loop, i int) Place {
	for li, r := range o.Loops {
		if i >= r[1] {
			continue
		}
		at := r[0]
		for k, s := range loops[li].segs {
			if at += len(s.elems(nil)); i < at {
				return c.strands[loops[li].from[k]].place
			}
		}
	}
	panic("drawing: an element without a source")
}

// warnings returns what was mended or passed over.
func (c *collector) warnings(d *Drawing) []string {
	if c.merged > 0 {
		c.note("%d repeated points (nearer than %g mm to the one before) are left out, the first in %s", c.merged, same, c.mergeAt)
	}
	n, widest, where := 0, 0.0, Place{}
	for _, l := range d.Loops {
		if l.Gap > same {
			n++
		}
		if l.Gap > widest {
			widest, where = l.Gap, l.Place
		}
	}
	if n > 0 {
		c.note("%d loops had gaps, which are closed; the widest is %.4f mm, in the loop of %s", n, widest, where)
	}
	if k, most := slightCorners(d.Outline); k > 0 {
		c.note("%d joints turn by less than 1 deg, by up to %.2g deg: arcs that do not quite run smoothly on, or a curve drawn as short lines; they are read as corners", k, most.Degrees())
	}
	return c.notes
}

// Turns at a joint that were hardly meant: above what rounding makes, below what a corner has.
const (
	slightFrom = 1e-4 // rad
	slightTo   = geom.Degree
)

// slightCorners returns how many joints turn slightly, and the largest turn of these.
func slightCorners(o *outline.Outline) (n int, most geom.Angle) {
	for i := range o.Loops {
		l := o.Loop(i)
		for k, e := range l {
			a, b := e.Out(1), l[(k+1)%len(l)].Out(0)
			if t := geom.Angle(math.Abs(math.Atan2(a.Cross(b), a.Dot(b)))); t > slightFrom && t < slightTo {
				n, most = n+1, max(most, t)
			}
		}
	}
	return n, most
}

func (c *collector) onLayers() string {
	if len(c.o.Layers) == 0 {
		return ""
	}
	return " on layer " + strings.Join(c.o.Layers, ", ")
}
