package formtest

import (
	"fmt"
	"io"
	"strings"
)

// Square is a square membrane of half side Half, clamped along its sides and blown by rising pressures.
// Its sheet is neo-Hookean.
type Square struct {
	Half, Gauge float64 // mm
	Modulus     float64 // shear, MPa
	Pressures   []float64
}

const (
	deckSide = 12     // elements along each side of the quarter
	deckBulk = 1000.0 // bulk modulus over the shear modulus: nearly incompressible
)

// Deck writes the square as the input of the finite element program CalculiX: a quarter of 12 x 12
// curved shells of eight nodes, pinned along the rim, free to turn along the lines of symmetry, a step
// for each pressure. The program prints the middle's displacement after each.
//
// SOURCE: the keywords of G. Dhondt, CalculiX CrunchiX user's manual (from memory); Deck is held by the
// program reading it.
func (s Square) Deck(w io.Writer) error {
	const n = 2*deckSide + 1
	var b strings.Builder
	id := func(i, j int) int { return j*n + i + 1 }
	b.WriteString("*NODE, NSET=ALL\n")
	for j := range n {
		for i := range n {
			if i%2 == 0 || j%2 == 0 {
				fmt.Fprintf(&b, "%d, %.9g, %.9g, 0\n", id(i, j), s.Half*float64(i)/(n-1), s.Half*float64(j)/(n-1))
			}
		}
	}
	b.WriteString("*ELEMENT, TYPE=S8R, ELSET=SHEET\n")
	for j := 0; j < n-1; j += 2 {
		for i := 0; i < n-1; i += 2 {
			fmt.Fprintf(&b, "%d, %d, %d, %d, %d, %d, %d, %d, %d\n", j/2*deckSide+i/2+1,
				id(i, j), id(i+2, j), id(i+2, j+2), id(i, j+2), id(i+1, j), id(i+2, j+1), id(i+1, j+2), id(i, j+1))
		}
	}
	for _, set := range []struct {
		name string
		at   func(k int) int
	}{
		{"ACROSS", func(k int) int { return id(0, k) }}, {"ALONG", func(k int) int { return id(k, 0) }},
		{"RIM", func(k int) int { return id(n-1, k) }}, {"RIM", func(k int) int { return id(k, n-1) }},
	} {
		fmt.Fprintf(&b, "*NSET, NSET=%s\n", set.name)
		for k := range n {
			fmt.Fprintf(&b, "%d\n", set.at(k))
		}
	}
	fmt.Fprintf(&b, "*NSET, NSET=MIDDLE\n%d\n", id(0, 0))
	// The neo-Hookean energy is C10 (I1 - 3) + (J - 1)^2 / D1 with C10 = mu/2 and D1 = 2/K.
	fmt.Fprintf(&b, "*MATERIAL, NAME=HOT\n*HYPERELASTIC, NEO HOOKE\n%.9g, %.9g\n", s.Modulus/2, 2/(deckBulk*s.Modulus))
	fmt.Fprintf(&b, "*SHELL SECTION, ELSET=SHEET, MATERIAL=HOT\n%.9g\n", s.Gauge)
	b.WriteString("*BOUNDARY\nACROSS, 1, 1\nALONG, 2, 2\nRIM, 1, 3\n")
	first := 1e-6 // the flat sheet has its bending alone to bear the first of the pressure
	for _, p := range s.Pressures {
		fmt.Fprintf(&b, "*STEP, NLGEOM, INC=1000\n*STATIC\n%g, 1, 1e-10, 0.1\n*DLOAD\nSHEET, P, %.9g\n", first, p)
		first = 0.1
		b.WriteString("*NODE PRINT, NSET=MIDDLE, FREQUENCY=1000000\nU\n*END STEP\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
