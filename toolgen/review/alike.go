package review

import (
	"fmt"

	"platen/toolgen/finding"
)

// kin is what findings have in common that differ in their place only.
type kin struct {
	id, fix, unit string
	severity      finding.Severity
	pos           finding.Pos
	got, limit    string
}

// alike keeps the first of the findings that differ in their place only and says in it how many more
// there are: a repeated feature has one fault, not one a place.
func alike(all []finding.Finding) []finding.Finding {
	more := map[kin]int{}
	var kept []finding.Finding
	var kins []kin
	for _, f := range all {
		k := kin{f.ID, f.Fix, f.Unit, f.Severity, f.Pos, fmt.Sprintf("%.3f", f.Got), fmt.Sprintf("%.3f", f.Limit)}
		if _, seen := more[k]; seen {
			more[k]++
			continue
		}
		more[k] = 0
		kept, kins = append(kept, f), append(kins, k)
	}
	for i := range kept {
		switch n := more[kins[i]]; n {
		case 0:
		case 1:
			kept[i].Text += "; the same at one more place"
		default:
			kept[i].Text += fmt.Sprintf("; the same at %d more places", n)
		}
	}
	return kept
}
