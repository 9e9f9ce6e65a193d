package job

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"platen/toolgen/finding"
)

// mostFaults is how many faults a refusal prints; more are counted only.
const mostFaults = 50

// Fault is one thing wrong with a job file.
type Fault struct {
	Pos     finding.Pos
	Text    string // what is wrong
	Allowed string // what may stand there; "" where Text says it
	Nearest string // the name the user most likely meant; "" where none is near enough
	Excerpt string // the line of the file and a caret below the place, two lines

	meant meant
}

// String returns the fault as printed: place and text, the excerpt, what is allowed.
func (f Fault) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s", f.Pos, f.Text)
	if f.Nearest != "" {
		fmt.Fprintf(&b, "; did you mean %q?", f.Nearest)
	}
	if f.Excerpt != "" {
		b.WriteString("\n" + f.Excerpt)
	}
	if f.Allowed != "" {
		b.WriteString("\n    allowed here: " + f.Allowed)
	}
	return b.String()
}

// Refusal is the answer to a file that cannot be taken.
type Refusal struct {
	Faults []Fault // sorted by place, the first 50
	More   int     // how many further faults are not listed
}

// Error prints all listed faults and the number of the others.
func (r *Refusal) Error() string {
	var b strings.Builder
	for i, f := range r.Faults {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(f.String())
	}
	if r.More > 0 {
		fmt.Fprintf(&b, "\nand %d more, not shown", r.More)
	}
	return b.String()
}

// faults collects what is wrong, keeping memory bounded on a file that is wrong everywhere.
type faults struct {
	list []Fault
	more int
}

// meant is the word a nearest name is sought for once it is known which faults are shown.
type meant struct {
	word  string
	names []string
	alike map[string]string // other words for some of the names
}

// name returns the name that was meant, "" where that would be a guess.
func (m meant) name() string {
	all := m.names
	for _, word := range slices.Sorted(maps.Keys(m.alike)) {
		if slices.Contains(m.names, m.alike[word]) {
			all = append(slices.Clip(all), word)
		}
	}
	n := Nearest(m.word, all)
	if other, ok := m.alike[n]; ok && !slices.Contains(m.names, n) {
		return other
	}
	return n
}

func (c *faults) add(f Fault) {
	c.list = append(c.list, f)
	if len(c.list) >= 20*mostFaults {
		c.trim()
	}
}

// total returns how many faults were added so far.
func (c *faults) total() int { return len(c.list) + c.more }

// trim sorts by place, drops what was said twice of one place and keeps the first mostFaults.
func (c *faults) trim() {
	slices.SortStableFunc(c.list, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Col, b.Pos.Col))
	})
	c.list = slices.CompactFunc(c.list, func(a, b Fault) bool { return a.Pos == b.Pos && a.Text == b.Text })
	if n := len(c.list); n > mostFaults {
		c.more += n - mostFaults
		clear(c.list[mostFaults:])
		c.list = c.list[:mostFaults]
	}
}

// refusal returns what was collected, nil where nothing is wrong.
func (c *faults) refusal(src *source) *Refusal {
	if len(c.list) == 0 {
		return nil
	}
	c.trim()
	for i := range c.list {
		f := &c.list[i]
		f.Excerpt = src.excerpt(f.Pos)
		f.Nearest, f.meant = f.meant.name(), meant{}
	}
	return &Refusal{Faults: c.list, More: c.more}
}

// quote returns the user's own words in quotes, cut where they are long.
func quote(s string) string {
	const most = 60
	if r := []rune(cut(s, 4*most)); len(r) > most {
		return fmt.Sprintf("%q...", string(r[:most]))
	}
	return fmt.Sprintf("%q", cut(s, 4*most))
}

// cut returns at most n bytes of s, ending between characters.
func cut(s string, n int) string {
	if len(s) <= n {
		return s
	}
	return strings.ToValidUTF8(s[:n], "")
}
