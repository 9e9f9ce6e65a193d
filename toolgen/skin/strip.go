package skin

import (
	"fmt"

	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// sweep adds the strips of a sweep whose first level is the plane host, and hands their rims to the
// planes they end on.
func (w *work) sweep(s *sdf.Sweep, host int) error {
	var loops []loop
	cut := false
	for i := range s.Outline.Loops {
		l, err := newLoop(s.Outline.Loop(i))
		if err != nil {
			return err
		}
		cut = cut || l.isSharp()
		loops = append(loops, l)
	}
	bs, err := bands(s.Profile, cut)
	if err != nil {
		return err
	}
	if err := w.fit.choose(s, bs, loops); err != nil {
		return err
	}
	for i, b := range bs {
		if end := s.Profile[b.last]; i > 0 {
			host = w.level(s.IDs[b.first][0], s.Profile[b.first].A.Y)
		} else if z := quantise(s.Profile[0].A.Y); z != w.planes[host].z {
			return fmt.Errorf("it stands at z = %.4f mm on a level at %.4f mm", z, w.planes[host].z)
		} else if end.A.Y != end.B.Y {
			return fmt.Errorf("the section does not end on a level")
		}
		end := w.level(s.IDs[b.last][0], s.Profile[b.last].A.Y)
		for k := range loops {
			if err := w.strip(s, &loops[k], b, host, end); err != nil {
				return err
			}
		}
	}
	return nil
}

// strip adds the quads of one band along one loop.
func (w *work) strip(s *sdf.Sweep, l *loop, b band, first, last int) error {
	cols := l.columns()
	w.grid = w.grid[:0]
	var src []int // profile element of the quads above each row
	var section []geom.Vec2
	for i, p := range b.parts {
		section = p.points(p.by, section)
		if i+1 < len(b.parts) {
			section = section[:len(section)-1] // the next part starts there
		}
		for range p.by.n {
			src = append(src, p.src)
		}
	}
	var plan []geom.Vec2
	for _, x := range section {
		var err error
		if plan, err = l.row(x.X, plan[:0]); err != nil {
			return err
		}
		w.putRow(plan, x.Y)
	}
	round := l.rounds()
	w.step = ofStrip
	for j, src := range src {
		for c := range cols {
			d := (c + 1) % cols
			k := j * cols
			w.quad(w.grid[k+c], w.grid[k+d], w.grid[k+cols+d], w.grid[k+cols+c], s.IDs[src][round[c]])
		}
	}
	top := len(src) * cols
	for c := range cols {
		d := (c + 1) % cols
		w.planes[first].rim(w.grid[c], w.grid[d])
		w.planes[last].rim(w.grid[top+d], w.grid[top+c])
	}
	return nil
}

// rounds returns for the quads of each column 1 round a bend and 0 along a straight, as pieces are
// numbered.
func (l loop) rounds() []int {
	var out []int
	for i, e := range l.elems {
		kind := func(round bool) int {
			if round {
				return 1
			}
			return 0
		}
		prev := l.elems[(i+len(l.elems)-1)%len(l.elems)]
		for range l.joints[i].n {
			out = append(out, kind(prev.R != 0))
		}
		for range l.by[i].n {
			out = append(out, kind(e.R != 0))
		}
	}
	return out
}

// putRow adds a row of vertices to the grid; neighbours that fall together share one.
func (w *work) putRow(plan []geom.Vec2, z float64) {
	start := len(w.grid)
	for c, p := range plan {
		q := mesh.Quantise(p.At(z))
		if c > 0 && q == w.m.V[w.grid[len(w.grid)-1]] {
			w.grid = append(w.grid, w.grid[len(w.grid)-1])
			continue
		}
		w.grid = append(w.grid, w.vertex(q))
	}
	first := w.grid[start]
	last := w.grid[len(w.grid)-1]
	if last == first || w.m.V[last] != w.m.V[first] {
		return
	}
	for c := len(w.grid) - 1; w.grid[c] == last; c-- {
		w.grid[c] = first
	}
	w.m.V = w.m.V[:len(w.m.V)-1]
}

// quad adds the two triangles of a quad along its shorter diagonal.
func (w *work) quad(a, b, c, d int32, id piece.ID) {
	v := w.m.V
	if e, f := v[a].Sub(v[c]), v[b].Sub(v[d]); e.Dot(e) <= f.Dot(f) {
		w.tri(a, b, c, id)
		w.tri(a, c, d, id)
		return
	}
	w.tri(a, b, d, id)
	w.tri(b, c, d, id)
}
