package review

import (
	"fmt"
	"math"
	"strings"

	"platen/toolgen/finding"
)

// kin is what findings have in common that differ in their place and numbers only.
type kin struct {
	id       string
	severity finding.Severity
	pos      finding.Pos
	words    string
}

// alike keeps the worst of the findings that differ in their place and numbers only and says in it how
// many more there are: a repeated feature has one fault, not one a place.
func alike(all []finding.Finding) []finding.Finding {
	groups := map[kin]int{} // index in kept
	var kept []finding.Finding
	var same, less []int
	for _, f := range all {
		k := kin{f.ID, f.Severity, f.Pos, words(f.Text)}
		i, seen := groups[k]
		if !seen {
			groups[k] = len(kept)
			kept, same, less = append(kept, f), append(same, 0), append(less, 0)
			continue
		}
		switch d := excess(f) - excess(kept[i]); {
		case math.Abs(d) < 5e-4: // the noise of a measurement
			same[i]++
		case d > 0:
			less[i] += same[i] + 1
			same[i], kept[i] = 0, f
		default:
			less[i]++
		}
	}
	for i := range kept {
		kept[i].Text += places("the same", same[i]) + places("less so", less[i])
	}
	return kept
}

// excess returns how far a finding is beyond its limit.
func excess(f finding.Finding) float64 { return math.Abs(f.Got - f.Limit) }

// words returns a text without its numbers.
func words(text string) string {
	return strings.Map(func(c rune) rune {
		if c >= '0' && c <= '9' || c == '.' || c == '-' {
			return -1
		}
		return c
	}, text)
}

func places(how string, n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return "; " + how + " at one more place"
	}
	return fmt.Sprintf("; %s at %d more places", how, n)
}
