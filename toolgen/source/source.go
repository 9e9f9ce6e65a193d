// Package source owns what stands behind a number: a mark for how far it can be trusted and the
// published place it comes from. Every figure of the trade in this program is a Value or a Range,
// so no table can print a number without saying where it is from.
package source

import "fmt"

// Mark grades the ground a number stands on.
type Mark byte

// The marks, best first as Weaker ranks them: A, D, B, C, M, P.
const (
	A Mark = 'A' // read in a book, a paper, a society's or university's text, a standard's catalogue
	B Mark = 'B' // read in a supplier's or shop's guide
	C Mark = 'C' // read in a secondary table or a calculator page
	D Mark = 'D' // derived; the derivation stands beside it
	M Mark = 'M' // from memory, unverified
	P Mark = 'P' // common practice, no source found
)

// order holds the marks from the strongest to the weakest.
const order = "ADBCMP"

// rank returns the place of m in order; an unknown mark is weaker than all.
func (m Mark) rank() int {
	for i := range len(order) {
		if order[i] == byte(m) {
			return i
		}
	}
	return len(order)
}

// IsKnown reports whether m is one of the six marks.
func (m Mark) IsKnown() bool { return m.rank() < len(order) }

// Firm reports whether a limit of grade error may rest on m: it was published or it is mathematics.
func (m Mark) Firm() bool { return m == A || m == B || m == D }

// String returns the words printed for the mark.
func (m Mark) String() string {
	switch m {
	case A:
		return "society, university or standard"
	case B:
		return "supplier or shop guide"
	case C:
		return "secondary table"
	case D:
		return "derived"
	case M:
		return "unverified"
	case P:
		return "common practice, no source"
	}
	return fmt.Sprintf("unknown mark %q", byte(m))
}

// MarshalText writes the mark as its letter.
func (m Mark) MarshalText() ([]byte, error) {
	if !m.IsKnown() {
		return nil, fmt.Errorf("unknown mark %q", byte(m))
	}
	return []byte{byte(m)}, nil
}

// UnmarshalText reads the letter of a mark.
func (m *Mark) UnmarshalText(b []byte) error {
	if len(b) != 1 || !Mark(b[0]).IsKnown() {
		return fmt.Errorf("unknown mark %q, allowed A, B, C, D, M, P", b)
	}
	*m = Mark(b[0])
	return nil
}

// Weaker returns the weaker of two marks: a number made from both is no better than it.
func Weaker(a, b Mark) Mark {
	if b.rank() > a.rank() {
		return b
	}
	return a
}

// Cite returns the words for a number with this mark from this source: unverified numbers and
// practice without a source say so first.
func (m Mark) Cite(src string) string {
	switch m {
	case M:
		if src != "" && src != memory {
			return "unverified; " + src
		}
		return "unverified"
	case P:
		if src != "" && src != practice {
			return "common practice, no source; " + src
		}
		return "common practice, no source"
	case C:
		return src + " (secondary table)"
	}
	return src
}
