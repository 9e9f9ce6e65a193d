package review_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/job"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/review"
	"platen/toolgen/stack"
	"platen/toolgen/stiff"
	"platen/toolgen/vent"
	"platen/toolgen/wall"
)

// everyJob are the notes that nearly every job has: they are compared in the files of their own rules
// only.
var everyJob = []string{"wall.not-simulated", "shrink.spread", "stack.unknown", "nest.jam", "panel.flat", "release.grip", "tool.undercut"}

// names are those a job may refer to: the rules are those whose limits may be moved.
func names() job.Names {
	var n job.Names
	for _, s := range material.Sheets() {
		n.Materials = append(n.Materials, s.Name)
	}
	for _, t := range material.Tools() {
		n.ToolMaterials = append(n.ToolMaterials, t.Name)
	}
	for _, r := range review.Rules() {
		if r.Override {
			n.Rules = append(n.Rules, r.ID)
		}
	}
	return n
}

func kinds() []job.Kind {
	var out []job.Kind
	for _, k := range features.All() {
		out = append(out, k.Kind)
	}
	return out
}

// assemble makes the pass of a job text.
func assemble(t testing.TB, text string) *review.Pass {
	t.Helper()
	j, err := job.Read([]byte(text), "job.yaml", kinds(), names())
	require.NoError(t, err)
	p, err := part.Resolve(j, features.All(), os.ReadFile)
	require.NoError(t, err)
	var w wall.Walls = wall.Nominal{Gauge: p.Gauge, Over: j.Tool.Choice("contact") == "upper"}
	if j.Tool.Choice("wall_allowance") == "none" {
		w = wall.None{}
	}
	b, err := body.Assemble(p, w)
	require.NoError(t, err)
	holes, err := vent.Place(t.Context(), b, vent.Sheet{})
	require.NoError(t, err)
	return &review.Pass{Body: b, Vents: holes.Holes}
}

// judge returns what the review finds in a job text.
func judge(t testing.TB, text string) []finding.Finding {
	t.Helper()
	return review.Run(assemble(t, text))
}

// judgeFor returns what the review finds in a job of a rule's file: rules about stacking are shown parts of
// an even wall, that of the gauge.
func judgeFor(t testing.TB, rule, text string) []finding.Finding {
	t.Helper()
	p := assemble(t, text)
	if group, _, _ := strings.Cut(rule, "."); (group == "stack" || group == "nest") && rule != "stack.unknown" {
		layers := p.Body.Part.Job.Stack.Count("layers")
		made, err := stack.New(context.Background(), p.Body, stack.Even(p.Body.Part.Gauge))
		require.NoError(t, err)
		asked := stack.Asked{Layers: layers}
		if j := p.Body.Part.Job.Stack; j.Has("inner_height") {
			asked.Inner = j.Length("inner_height")
		}
		s, err := asked.Study(context.Background(), made)
		require.NoError(t, err)
		p.Stack = s
	}
	if rule == "lift.sag" {
		var err error
		p.Beam, err = stiff.Lift(context.Background(), p.Body, stack.Even(p.Body.Part.Gauge))
		require.NoError(t, err)
	}
	return review.Run(p)
}

// of returns the findings of one rule.
func of(id string, fs []finding.Finding) []finding.Finding {
	var out []finding.Finding
	for _, f := range fs {
		if f.ID == id {
			out = append(out, f)
		}
	}
	return out
}

// given is one job of a rule's file.
type given struct {
	name string // what stands behind its marker: beyond, within or mended, and words
	text string
}

// kind returns the first word of the name.
func (g given) kind() string { return strings.SplitN(g.name, ":", 2)[0] }

// head is what a job has where it does not write the section itself.
const head = `format: 1
name: trial
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 6082, wall_allowance: none}
part: {outline: {rect: [200, 160], corner: 8}}
shrink: {off: true}
`

// whole returns a job text with the sections of the head that it does not have.
func whole(text string) string {
	var b strings.Builder
	for _, line := range strings.SplitAfter(head, "\n") {
		key, _, _ := strings.Cut(line, ":")
		if !strings.HasPrefix(text, key+":") && !strings.Contains(text, "\n"+key+":") {
			b.WriteString(line)
		}
	}
	return b.String() + text
}

// read returns the jobs of a file: each begins with "--- name".
func read(t testing.TB, file string) []given {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	blocks := strings.Split("\n"+string(data), "\n--- ")
	require.Empty(t, blocks[0], "text before the first job")
	var out []given
	for _, b := range blocks[1:] {
		name, text, _ := strings.Cut(b, "\n")
		out = append(out, given{name, whole(text)})
	}
	return out
}

// want is an expected finding, written behind the line of the fault as
// "# want error rule.id [got 0.99] [limit 1]"; several are parted by ";".
type want struct {
	line       int
	severity   string
	id         string
	got, limit string // as written; "" unchecked
}

var wantText = regexp.MustCompile(`^(error|warning|note) ([a-z-]+\.[a-z-]+)(?: got (-?[0-9.]+))?(?: limit (-?[0-9.]+))?$`)

func wants(t testing.TB, text string) []want {
	t.Helper()
	var out []want
	for i, line := range strings.Split(text, "\n") {
		_, list, ok := strings.Cut(line, "# want ")
		if !ok {
			continue
		}
		for _, w := range strings.Split(list, ";") {
			m := wantText.FindStringSubmatch(strings.TrimSpace(w))
			require.NotNil(t, m, "line %d: %q is no expected finding", i+1, w)
			out = append(out, want{i + 1, m[1], m[2], m[3], m[4]})
		}
	}
	return out
}

// is reports whether a written number is v to its last digit.
func is(written string, v float64) bool {
	if written == "" {
		return true
	}
	_, frac, _ := strings.Cut(written, ".")
	return strconv.FormatFloat(v, 'f', len(frac), 64) == written
}

func (w want) meets(f finding.Finding) bool {
	return w.line == f.Pos.Line && w.severity == f.Severity.String() && w.id == f.ID && is(w.got, f.Got) && is(w.limit, f.Limit)
}

// compare holds findings and expectations against each other both ways.
func compare(t *testing.T, rule string, ws []want, fs []finding.Finding) {
	t.Helper()
	met := make([]bool, len(fs))
	for _, w := range ws {
		found := false
		for i, f := range fs {
			if !met[i] && w.meets(f) {
				met[i], found = true, true
				break
			}
		}
		require.True(t, found, "want %+v, found\n%s", w, list(fs))
	}
	for i, f := range fs {
		common := false
		for _, id := range everyJob {
			common = common || id == f.ID && id != rule
		}
		require.True(t, met[i] || common, "not wanted: %s (got %v, limit %v)", f, f.Got, f.Limit)
	}
}

func list(fs []finding.Finding) string {
	var b strings.Builder
	for _, f := range fs {
		fmt.Fprintf(&b, "  %s (got %v, limit %v)\n    fix: %s\n", f, f.Got, f.Limit, f.Fix)
	}
	return b.String()
}

// file returns the file of a rule's jobs.
func file(rule string) string { return filepath.Join("testdata", rule+".yaml") }

var number = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`)

// numbers returns the numbers in a text.
func numbers(text string) map[float64]bool {
	out := map[float64]bool{}
	for _, n := range number.FindAllString(text, -1) {
		v, _ := strconv.ParseFloat(n, 64)
		out[v] = true
	}
	return out
}
