package material

import (
	"fmt"
	"strings"
)

// UnknownError says that a name is in no table.
type UnknownError struct {
	What    string   // "sheet material" or "tool material"
	Name    string   // as asked
	Nearest string   // the name or alias most like it
	Known   []string // all names, without aliases
}

// Error names the nearest and all that are allowed.
func (e *UnknownError) Error() string {
	return fmt.Sprintf("unknown %s %q, nearest is %q; allowed are %s",
		e.What, e.Name, e.Nearest, strings.Join(e.Known, ", "))
}

// SheetNamed returns the sheet of a name or alias, upper and lower case alike. The error is an
// *UnknownError.
func SheetNamed(name string) (Sheet, error) {
	all := Sheets()
	known, names := make([]string, len(all)), []string{}
	for i, s := range all {
		known[i] = s.Name
		if isNamed(name, s.Name, s.Aliases) {
			return s, nil
		}
		names = append(append(names, s.Name), s.Aliases...)
	}
	return Sheet{}, &UnknownError{"sheet material", name, nearest(name, names), known}
}

// ToolNamed returns the tool material of a name or alias, upper and lower case alike. The error is
// an *UnknownError.
func ToolNamed(name string) (Tool, error) {
	all := Tools()
	known, names := make([]string, len(all)), []string{}
	for i, t := range all {
		known[i] = t.Name
		if isNamed(name, t.Name, t.Aliases) {
			return t, nil
		}
		names = append(append(names, t.Name), t.Aliases...)
	}
	return Tool{}, &UnknownError{"tool material", name, nearest(name, names), known}
}

func isNamed(asked, name string, aliases []string) bool {
	asked = fold(asked)
	if asked == fold(name) {
		return true
	}
	for _, a := range aliases {
		if asked == fold(a) {
			return true
		}
	}
	return false
}

// fold drops what people write differently: case, and hyphens or underscores for spaces.
func fold(name string) string {
	name = strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(name))
	return strings.Join(strings.Fields(name), " ")
}

// nearest returns the name with the fewest letters to change, the first of equals.
func nearest(name string, known []string) string {
	best, least := "", -1
	for _, k := range known {
		if d := edits(fold(name), fold(k)); least < 0 || d < least {
			best, least = k, d
		}
	}
	return best
}

// edits returns how many letters must be put in, taken out or changed to get from a to b.
func edits(a, b string) int {
	x, y := []rune(a), []rune(b)
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := range x {
		diagonal := row[0]
		row[0] = i + 1
		for j := range y {
			cost := 1
			if x[i] == y[j] {
				cost = 0
			}
			next := min(row[j]+1, row[j+1]+1, diagonal+cost)
			diagonal, row[j+1] = row[j+1], next
		}
	}
	return row[len(y)]
}
