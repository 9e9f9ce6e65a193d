package flat

import (
	"slices"

	"platen/toolgen/exact"
)

// channel is the scratch room for one constraint: the triangles it crosses and the border of the
// hole they leave.
type channel struct {
	tris        []int32
	left, right []bank
	free        []int32 // triangles of the hole not yet filled
	inside      []pair  // border half-edges whose twin lies in the hole too
	cut         []bool  // by triangle: part of the hole
	jobs        []job
}

// bank is one side of the hole: the point it starts from and what lies behind it.
type bank struct {
	v     int32
	old   int32 // half-edge of the crossed triangle
	twin  int32
	fixed uint8
}

// pair is a border half-edge under its old and its new number, with its twin under the old one.
type pair struct{ old, new, twin int32 }

// job is a stretch of bank still to be filled; parent is the half-edge it hangs on.
type job struct {
	lo, hi int // banks lo..hi-1 run from the end of the base to its start
	parent int32
}

// constrain makes the edge from a to b part of the net, with the region on its left.
func (n *net) constrain(a, b int32) error {
	h, along, err := n.aim(a, b)
	if err != nil {
		return err
	}
	if !along {
		if err := n.trace(h, a, b); err != nil {
			return err
		}
		h = n.fill(a, b)
	}
	if n.fixed[h]&leftIn != 0 {
		return &Fault{Twice, n.p[a].Add(n.p[b]).Scale(0.5)}
	}
	n.fixed[h] |= held | leftIn
	n.fixed[n.tw[h]] |= held
	return nil
}

// aim looks from a to b. It returns the half-edge from a to b (along), or the side opposite to a of
// the triangle that the line enters.
func (n *net) aim(a, b int32) (h int32, along bool, err error) {
	start := n.at[a]
	for h = start; ; {
		x, y := n.v[next(h)], n.v[prev(h)]
		if x == b {
			return h, true, nil
		}
		if y == b {
			return n.tw[prev(h)], true, nil
		}
		sx := exact.Orient2D(n.p[a], n.p[b], n.p[x])
		if sx == 0 && n.p[x].Sub(n.p[a]).Dot(n.p[b].Sub(n.p[a])) > 0 {
			return 0, false, &Fault{OnEdge, n.p[x]}
		}
		if sx < 0 && exact.Orient2D(n.p[a], n.p[b], n.p[y]) > 0 {
			return next(h), false, nil
		}
		if h = n.tw[prev(h)]; h == start || h < 0 {
			panic("flat: a fan does not close")
		}
	}
}

// trace collects the triangles that a to b crosses, from the one whose side h it leaves by.
func (n *net) trace(h, a, b int32) error {
	d := &n.dig
	d.tris = append(d.tris[:0], h/3)
	d.left, d.right = d.left[:0], d.right[:0]
	// Seen from a the left bank is walked from its near end: its sides point backwards.
	d.right = append(d.right, n.bank(prev(h)))
	d.left = append(d.left, n.bank(next(h)))
	for {
		if n.fixed[h] != 0 {
			x, y := n.v[h], n.v[next(h)]
			return &Fault{Crossing, crossing(n.p[a], n.p[b], n.p[x], n.p[y])}
		}
		g := n.tw[h]
		w := n.v[prev(g)]
		d.tris = append(d.tris, g/3)
		if w == b {
			d.left = append(d.left, n.bank(prev(g)))
			d.right = append(d.right, n.bank(next(g)))
			return nil
		}
		switch s := exact.Orient2D(n.p[a], n.p[b], n.p[w]); {
		case s == 0:
			return &Fault{OnEdge, n.p[w]}
		case s > 0: // the line leaves between w and the right bank
			d.left = append(d.left, n.bank(prev(g)))
			h = next(g)
		default:
			d.right = append(d.right, n.bank(next(g)))
			h = prev(g)
		}
	}
}

func (n *net) bank(h int32) bank { return bank{n.v[h], h, n.tw[h], n.fixed[h]} }

// fill triangulates both halves of the hole and returns the half-edge from a to b.
func (n *net) fill(a, b int32) int32 {
	d := &n.dig
	d.free = append(d.free[:0], d.tris...)
	d.inside = d.inside[:0]
	if d.cut == nil {
		d.cut = make([]bool, len(n.tw)/3)
	}
	for _, t := range d.tris {
		d.cut[t] = true
	}
	// The left half lies left of a-b: from b its banks run back to a.
	slices.Reverse(d.left)
	l := n.fillHalf(a, d.left)
	r := n.fillHalf(b, d.right)
	n.tw[l], n.tw[r] = r, l
	n.fixed[l], n.fixed[r] = 0, 0
	for _, p := range d.inside {
		for _, q := range d.inside {
			if q.old == p.twin {
				n.tw[p.new] = q.new
			}
		}
	}
	for _, t := range d.tris {
		d.cut[t] = false
	}
	return l
}

// fillHalf triangulates the hole to the left of a-b whose other sides are the banks from b to a, and
// returns the half-edge from a to b. The banks know b.
func (n *net) fillHalf(a int32, banks []bank) int32 {
	d := &n.dig
	root := int32(-1)
	d.jobs = append(d.jobs[:0], job{0, len(banks), -1})
	for len(d.jobs) > 0 {
		j := d.jobs[len(d.jobs)-1]
		d.jobs = d.jobs[:len(d.jobs)-1]
		if j.hi-j.lo == 1 {
			n.attach(banks[j.lo], j.parent)
			continue
		}
		// The base runs from the end of the last bank to the start of the first.
		from, to := a, banks[j.lo].v
		if j.hi < len(banks) {
			from = banks[j.hi].v
		}
		c := j.lo + 1
		for k := c + 1; k < j.hi; k++ {
			if exact.InCircle(n.p[from], n.p[to], n.p[banks[c].v], n.p[banks[k].v]) > 0 {
				c = k
			}
		}
		t := d.free[len(d.free)-1]
		d.free = d.free[:len(d.free)-1]
		h := 3 * t
		for k, v := range [3]int32{from, to, banks[c].v} {
			n.v[h+int32(k)] = v
			n.at[v] = h + int32(k)
			n.fixed[h+int32(k)] = 0
		}
		if j.parent < 0 {
			root = h
		} else {
			n.tw[h], n.tw[j.parent] = j.parent, h
		}
		d.jobs = append(d.jobs, job{j.lo, c, h + 1}, job{c, j.hi, h + 2})
	}
	return root
}

// attach joins the side h of a new triangle to what lay behind the bank.
func (n *net) attach(b bank, h int32) {
	n.fixed[h] = b.fixed
	n.tw[h] = b.twin
	if b.twin >= 0 && n.dig.cut[b.twin/3] {
		n.dig.inside = append(n.dig.inside, pair{b.old, h, b.twin})
		return
	}
	link(n.tw, b.twin, h)
}
