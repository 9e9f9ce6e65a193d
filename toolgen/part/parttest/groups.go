package parttest

import (
	"regexp"
	"slices"
	"strings"

	"platen/toolgen/job"
)

// groupEnds returns the texts of a list of groups: the example's, which stands on one line as
// [{key: value, ...}, ...], with every key of its first group, then of its last, at the ends of its range.
func groupEnds(example string, p job.Param) []string {
	_, text, ok := strings.Cut(example, "\n"+p.Key+": ")
	if !ok {
		panic("parttest: the example has no line for key " + p.Key)
	}
	text, _, _ = strings.Cut(text, "\n")
	first, last := strings.Index(text, "{"), strings.LastIndex(text, "{")
	out := []string{"[" + text[first:strings.Index(text, "}")+1] + "]"}
	for _, q := range p.Params {
		for _, v := range ends(q) {
			for _, at := range []int{first, last} {
				head, group := text[:at+1], text[at+1:]
				if q.Type == job.Outline { // stands in for the sizes that are points
					for _, r := range p.Params {
						if r.Type == job.Point {
							group = without(group, r.Key)
						}
					}
				}
				out = append(out, head+q.Key+": "+v+", "+without(group, q.Key))
			}
		}
	}
	return out
}

// memberEnds returns the texts of a group, with every key at the ends of its range beside a plan and a height.
func memberEnds(p job.Param) []string {
	var out []string
	sized := slices.ContainsFunc(p.Params, func(q job.Param) bool { return q.Key == "size" })
	for _, q := range p.Params {
		for _, v := range append(ends(q), "") {
			base := "size: [60, 40], height: 15"
			switch q.Key {
			case "size", "cylinder", "outline", "mesh":
				base = "height: 15"
			case "height":
				base = "size: [60, 40]"
			case "unit", "up", "plan":
				base = "mesh: wedge.stl"
			}
			if !sized { // the plan is given elsewhere
				base = "height: 15"
				if q.Key == "height" {
					base = "mass: 1"
				}
			}
			if v == "" && q.Required {
				continue
			}
			if v == "" {
				out = append(out, "{"+base+"}")
				continue
			}
			if q.Key == "mesh" {
				v = "wedge.stl"
			}
			out = append(out, "{"+base+", "+q.Key+": "+v+"}")
		}
	}
	return out
}

// without takes a key away from the first group of a text that starts behind the group's bracket.
func without(group, key string) string {
	end := strings.Index(group, "}") + 1
	own := regexp.MustCompile(`\b`+key+`: (\[[^\]]*\]|[^,}\]]*)(, )?`).ReplaceAllString(group[:end], "")
	return own + group[end:]
}
