package contour

import (
	"math"

	"platen/toolgen/geom"
)

// flatCut is the share of the largest eigenvalue below which a direction counts as unknown.
const flatCut = 0.03

// quadric collects tangent planes and finds the point nearest to all of them.
type quadric struct {
	n []geom.Vec3
	d []float64 // plane: n . x = d, about the origin given to solve
}

func (q *quadric) add(n, foot geom.Vec3) {
	q.n = append(q.n, n)
	q.d = append(q.d, n.Dot(foot))
}

// solve returns the point that minimises the squared distances to the planes and, where they leave
// a direction open, lies nearest to about; and the largest distance left.
func (q *quadric) solve(about geom.Vec3) (x geom.Vec3, left float64) {
	var a [3][3]float64
	var b [3]float64
	for i, n := range q.n {
		v := [3]float64{n.X, n.Y, n.Z}
		e := q.d[i] - n.Dot(about)
		for j := range 3 {
			b[j] += v[j] * e
			for k := range 3 {
				a[j][k] += v[j] * v[k]
			}
		}
	}
	val, vec := eigen(a)
	top := max(val[0], val[1], val[2])
	x = about
	for i := range 3 {
		if val[i] <= flatCut*top {
			continue
		}
		v := geom.Vec3{X: vec[0][i], Y: vec[1][i], Z: vec[2][i]}
		x = x.Add(v.Scale(v.Dot(geom.Vec3{X: b[0], Y: b[1], Z: b[2]}) / val[i]))
	}
	for i, n := range q.n {
		left = max(left, math.Abs(n.Dot(x)-q.d[i]))
	}
	return x, left
}

// eigen returns eigenvalues and eigenvectors (columns) of a symmetric matrix by Jacobi rotations.
func eigen(a [3][3]float64) (val [3]float64, vec [3][3]float64) {
	for i := range 3 {
		vec[i][i] = 1
	}
	for range 12 {
		rest := a[0][1]*a[0][1] + a[0][2]*a[0][2] + a[1][2]*a[1][2]
		if rest < 1e-22 {
			break
		}
		for _, pq := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			i, j := pq[0], pq[1]
			if a[i][j] == 0 {
				continue
			}
			th := (a[j][j] - a[i][i]) / (2 * a[i][j])
			t := 1 / (math.Abs(th) + math.Sqrt(th*th+1))
			if th < 0 {
				t = -t
			}
			c := 1 / math.Sqrt(t*t+1)
			s := t * c
			for k := range 3 {
				a[k][i], a[k][j] = c*a[k][i]-s*a[k][j], s*a[k][i]+c*a[k][j]
			}
			for k := range 3 {
				a[i][k], a[j][k] = c*a[i][k]-s*a[j][k], s*a[i][k]+c*a[j][k]
			}
			for k := range 3 {
				vec[k][i], vec[k][j] = c*vec[k][i]-s*vec[k][j], s*vec[k][i]+c*vec[k][j]
			}
		}
	}
	return [3]float64{a[0][0], a[1][1], a[2][2]}, vec
}
