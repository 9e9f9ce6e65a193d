package review_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/jobtest"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/review"
	"platen/toolgen/sdf"
	"platen/toolgen/sheet"
	"platen/toolgen/source"
	"platen/toolgen/wall"

	"platen/features"
)

// TestUndercut leans the walls of a pocket on the tool: no job can ask for it, a fault of a field could
// make it.
func TestUndercut(t *testing.T) {
	const text = `features:
  - kind: pocket
    size: [60, 40]
    holds: opening
    depth: 15
    corner: 9
    draft: 4
`
	for _, c := range []struct {
		draft float64 // deg
		want  bool
	}{{4, false}, {0, false}, {-0.005, false}, {-0.01, true}, {-2, true}} {
		p := assemble(t, whole(text))
		s := p.Body.Solids[0]
		sweep := p.Body.Field.Patches[s.Patch].Sweep
		lean := 15 * math.Tan(c.draft*math.Pi/180)
		// Host ray, edge of 2 mm, wall, floor of 2 mm, floor ray, with the corners left sharp.
		prof := sdf.Profile{
			{A: geom.Vec2{X: 1e5, Y: s.Wall.Host}, B: geom.Vec2{X: 0, Y: s.Wall.Host}},
			{A: geom.Vec2{X: 0, Y: s.Wall.Host}, B: geom.Vec2{X: -lean, Y: s.Wall.End}},
			{A: geom.Vec2{X: -lean, Y: s.Wall.End}, B: geom.Vec2{X: -1e5, Y: s.Wall.End}},
		}
		w := s.Wall
		w.HostR, w.EndR = 0, 0
		p.Body.Field.Patches[s.Patch].Sweep = sdf.NewSweepOn(p.Body.Field.Pieces, p.Body.Field.Patches[s.Patch].Host, s.ID, sweep.Outline, prof, w.Roles(0, prof))
		found := of("wall.undercut", review.Run(p))
		require.Equal(t, c.want, len(found) == 1, "%g deg: %s", c.draft, list(found))
		if c.want {
			require.Equal(t, finding.Error, found[0].Severity)
			require.InDelta(t, c.draft, found[0].Got, 1e-6)
			require.Equal(t, 13, found[0].Pos.Line, "the line of the draft")
			require.Contains(t, found[0].Fix, fmt.Sprintf("%.2f deg more draft", -c.draft))
		}
	}
}

// TestDeclaredUndercut cuts the waist of a button deeper than it declares: what is declared passes, what goes
// beyond is told with its amount and its place.
func TestDeclaredUndercut(t *testing.T) {
	const text = `features:
  - kind: snap_button
    diameter: 14
    undercut: 0.25
    widest: 4.2
`
	for _, more := range []float64{0, 0.0005, 0.05, 0.2} {
		p := assemble(t, whole(text))
		s := p.Body.Solids[0]
		sweep := p.Body.Field.Patches[s.Patch].Sweep
		w := s.Wall
		w.Undercut.Depth += more
		prof, err := w.Profile()
		require.NoError(t, err)
		p.Body.Field.Patches[s.Patch].Sweep = sdf.NewSweepOn(p.Body.Field.Pieces, p.Body.Field.Patches[s.Patch].Host, s.ID, sweep.Outline, prof, w.Roles(0, prof))
		found := of("wall.undercut", review.Run(p))
		if more < 0.001 {
			require.Empty(t, found, list(found))
			continue
		}
		require.Len(t, found, 1)
		require.Equal(t, finding.Error, found[0].Severity)
		require.InDelta(t, 0.25+more, found[0].Got, 2e-3)
		require.InDelta(t, 0.25, found[0].Limit, 1e-12)
		require.Equal(t, 10, found[0].Pos.Line, "the line of the undercut")
		require.InDelta(t, s.Wall.Host+w.HostR, found[0].At.Z, 0.2, "at the waist")
	}
}

// TestWallsAreEstimatesUntilFormed wants the note of estimated walls gone once the sheet is formed.
func TestWallsAreEstimatesUntilFormed(t *testing.T) {
	p := assemble(t, whole(""))
	require.Len(t, of("wall.not-simulated", review.Run(p)), 1)
	p.Formed = &sheet.Formed{}
	require.Empty(t, of("wall.not-simulated", review.Run(p)))
}

// TestOverride moves the limit of one rule: that rule alone gives way, and its reason is told.
func TestOverride(t *testing.T) {
	const pocket = `features:
  - kind: pocket
    size: [40, 40]
    holds: opening
    depth: 20
    draft: 0.9
    edge: 0.9
`
	limits := func(rule string, limit float64) string {
		return fmt.Sprintf("limits:\n  - {rule: %s, limit: %g, reason: tried on the last tray}\n", rule, limit)
	}
	plain := judge(t, whole(pocket))
	for _, c := range []struct {
		name, rule string
		limit      float64
		want       finding.Severity
		wantLimit  float64
		source     string
	}{
		{"lifted", "wall.draft-low", 0.5, finding.Note, 1, "Draft Angles"},
		{"lifted but not far enough", "wall.draft-low", 0.95, finding.Error, 0.95, "Draft Angles"},
		{"tightened", "depth.width", 0.4, finding.Warning, 0.4, "set in the job"},
		{"lifted radius", "radius.gauge", 0.8, finding.Note, 1, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			fs := judge(t, whole(limits(c.rule, c.limit)+pocket))
			mine := of(c.rule, fs)
			require.Len(t, mine, 1)
			require.Equal(t, c.want, mine[0].Severity, mine[0].Text)
			require.InDelta(t, c.wantLimit, mine[0].Limit, 1e-12)
			require.Equal(t, "tried on the last tray", mine[0].Override)
			require.Contains(t, mine[0].Source, c.source)
			// All others as before, two lines further down.
			var others, before []string
			for _, f := range fs {
				if f.ID != c.rule {
					require.Empty(t, f.Override, f)
					others = append(others, f.Severity.String()+f.Text)
				}
			}
			for _, f := range plain {
				if f.ID != c.rule {
					before = append(before, f.Severity.String()+f.Text)
				}
			}
			require.Equal(t, before, others)
		})
	}
	require.Empty(t, of("wall.draft-low", judge(t, whole(limits("wall.draft-low", 0.5)+strings.Replace(pocket, "0.9", "3", 1)))),
		"a limit that is not needed says nothing")
}

// TestFactsAreNotMoved wants the reader to refuse a limit for a rule of computed facts, at its place.
func TestFactsAreNotMoved(t *testing.T) {
	facts := 0
	for _, r := range review.Rules() {
		text := whole(fmt.Sprintf("limits:\n  - {rule: %s, limit: 1, reason: because}\n", r.ID))
		_, err := job.Read([]byte(text), "job.yaml", kinds(), names())
		if r.Override {
			require.NoError(t, err, r.ID)
			continue
		}
		facts++
		require.ErrorContains(t, err, "job.yaml:8:12: ", r.ID)
		require.ErrorContains(t, err, r.ID)
		// Where a job gets past the reader all the same, the limit moves nothing.
		p := assemble(t, whole("features:\n  - {kind: pocket, size: [60, 40], depth: 15, at: [78, 0]}\n"))
		before := of(r.ID, review.Run(p))
		p.Body.Part.Job.Overrides = []job.Override{{Rule: r.ID, Limit: -1e9, Reason: "because"}}
		require.Equal(t, before, of(r.ID, review.Run(p)))
	}
	require.GreaterOrEqual(t, facts, 3)
	for _, id := range []string{"wall.undercut", "radius.free-side", "part.flange"} {
		for _, r := range review.Rules() {
			require.False(t, r.ID == id && r.Override, "%s is a computed fact", id)
		}
	}
}

// grounded checks that an error rests on something firm: a computed fact, or a published or derived limit.
func grounded(t *testing.T, f finding.Finding) {
	t.Helper()
	require.NotEmpty(t, f.Source, f)
	if f.Severity != finding.Error {
		return
	}
	for _, soft := range []source.Mark{source.M, source.P} {
		require.NotContains(t, f.Source, soft.String(), "%s", f)
	}
	require.NotContains(t, f.Source, "secondary table", "%s", f)
}

// TestErrorsAreGrounded looks at every finding of every job there is, and of random ones.
func TestErrorsAreGrounded(t *testing.T) {
	errors := map[string]bool{}
	look := func(fs []finding.Finding) {
		for _, f := range fs {
			grounded(t, f)
			spoken(t, f)
			if f.Severity == finding.Error {
				errors[f.ID] = true
			}
		}
	}
	files, err := os.ReadDir("testdata")
	require.NoError(t, err)
	for _, name := range files {
		for _, g := range read(t, "testdata/"+name.Name()) {
			look(judgeFor(t, strings.TrimSuffix(name.Name(), ".yaml"), g.text))
		}
	}
	made := 0
	for seed := range uint64(24) {
		j, err := job.Read([]byte(jobtest.Random(seed)), "job.yaml", kinds(), names())
		require.NoError(t, err)
		p, err := part.Resolve(j, features.All(), os.ReadFile)
		if err != nil {
			continue
		}
		b, err := body.Assemble(p, wall.Nominal{Gauge: p.Gauge, Over: j.Tool.Choice("contact") == "upper"})
		if err != nil {
			continue
		}
		made++
		look(review.Run(&review.Pass{Body: b}))
	}
	require.Greater(t, made, 8)
	for _, id := range []string{"wall.draft-low", "radius.gauge", "depth.width", "web.gap", "part.flange", "radius.free-side"} {
		require.True(t, errors[id], "no job trips an error of %s", id)
	}
}

// spoken checks how a finding speaks: a sentence without a capital or a stop, no number that is none, and
// a next step.
func spoken(t *testing.T, f finding.Finding) {
	t.Helper()
	for _, s := range []string{f.Text, f.Fix} {
		require.NotEmpty(t, s, "%s", f)
		require.NotContains(t, s, "NaN", "%s", f)
		require.NotContains(t, s, "Inf", "%s", f)
		require.NotContains(t, s, "%!", "%s", f)
		require.NotContains(t, s, "  ", "%s", f)
		require.NotContains(t, s, "!", "%s", f)
		require.False(t, strings.HasSuffix(s, "."), "%s", s)
		require.False(t, strings.HasPrefix(s, " "), "%s", s)
	}
	require.Positive(t, f.Pos.Line, "%s has no place in the job", f)
	require.True(t, f.Got-f.Got == 0 && f.Limit-f.Limit == 0, "%s", f)
	require.NotEmpty(t, f.Feature)
}

// TestToolMaterialsWarnOnly: least walls of tool materials are practice, so that they never stop a job.
func TestToolMaterialsWarnOnly(t *testing.T) {
	for _, m := range material.Tools() {
		fs := judge(t, whole(fmt.Sprintf("tool: {material: %s, wall_allowance: none, block: {base: 1}}\nfeatures:\n  - {kind: pocket, size: [40, 40], depth: 15}\n", m.Name)))
		mine := of("tool.base", fs)
		require.Len(t, mine, 1, m.Name)
		require.Equal(t, m.LeastWall.Mark.Firm(), mine[0].Severity == finding.Error, m.Name)
		require.InDelta(t, m.LeastWall.V, mine[0].Limit, 1e-12)
	}
}
