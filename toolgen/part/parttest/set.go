package parttest

import (
	"strings"
)

// Set returns an example in which the feature of the kind has a key set to a text as it stands after
// the colon. An empty value takes the key away.
func Set(example, kind, key, value string) string {
	lines := strings.Split(strings.TrimRight(example, "\n"), "\n")
	at, indent := find(lines, kind)
	if at < 0 {
		panic("parttest: the example has no line for kind " + kind)
	}
	head, tail := lines[:at+1], lines[at+1:]
	var own []string
	for len(tail) > 0 && column(tail[0]) >= indent {
		// What is nested below the key goes with it.
		if column(tail[0]) == indent && strings.HasPrefix(tail[0][indent:], key+":") {
			for tail = tail[1:]; len(tail) > 0 && column(tail[0]) > indent; tail = tail[1:] {
			}
			continue
		}
		own, tail = append(own, tail[0]), tail[1:]
	}
	out := append([]string{}, head...)
	if value != "" {
		out = append(out, strings.Repeat(" ", indent)+key+": "+value)
	}
	return strings.Join(append(append(out, own...), tail...), "\n") + "\n"
}

// find returns the line on which the feature of a kind names it, and the column of its keys.
func find(lines []string, kind string) (at, indent int) {
	for i, l := range lines {
		if strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(l), "- ")) == "kind: "+kind {
			return i, column(l)
		}
	}
	return -1, 0
}

// column returns the column of a line's first letter, a dash of a list skipped.
func column(l string) int {
	return len(l) - len(strings.TrimLeft(l, " -"))
}

// unnamed takes all names away, so that an example can stand twice in a job.
func unnamed(example string) string {
	var out []string
	for l := range strings.Lines(example) {
		if !strings.HasPrefix(strings.TrimSpace(l), "name:") {
			out = append(out, l)
		}
	}
	return strings.Join(out, "")
}
