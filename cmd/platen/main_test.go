package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/examples"
	"platen/toolgen"
)

// shell runs one command line in a folder.
func shell(t *testing.T, dir string, args ...string) (code int, out, errs string) {
	t.Helper()
	t.Chdir(dir)
	var o, e bytes.Buffer
	code = run(context.Background(), args, streams{strings.NewReader(""), &o, &e})
	return code, o.String(), e.String()
}

// write writes a job file that builds quickly, with the given lines put in place of others.
func write(t *testing.T, dir string, change ...string) {
	t.Helper()
	text := `format: 1
name: float
sheet: {material: HIPS, gauge: 1}
tool: {material: aluminium 5083, measured: underside}
part: {outline: {rect: [100, 80], corner: 8}}
features:
  - kind: pocket
    name: cell
    size: [40, 30]
    depth: 8
  - {kind: aperture, diameter: 6, at: [36, 0]}
`
	text = strings.NewReplacer(change...).Replace(text)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(text), 0o644))
}

func TestExitStatus(t *testing.T) {
	steep := []string{"depth: 8", "depth: 8\n    draft: 0.5"}
	tests := []struct {
		name   string
		change []string
		args   []string
		want   int
		says   string // on standard output or error
	}{
		{"clean", nil, []string{"check", "job.yaml"}, exitOK, "review  0 errors"},
		{"made", nil, []string{"build", "job.yaml", "--only", "drills.csv"}, exitOK, "wrote"},
		{"findings", steep, []string{"check", "job.yaml"}, exitFindings, "wall.draft-low"},
		{"findings, nothing cut", steep, []string{"build", "job.yaml", "--only", "tool.stl"}, exitFindings, "mend the errors"},
		{"findings, anyway", steep, []string{"build", "job.yaml", "--anyway", "--only", "tool.stl"}, exitFindings, "tool-not-cleared.stl"},
		{"unknown key", []string{"depth: 8", "dpeth: 8"}, []string{"check", "job.yaml"}, exitJob, `job.yaml:10:5: unknown key "dpeth"`},
		{"unbuildable", []string{"depth: 8", "depth: 8\n    floor: 30"}, []string{"check", "job.yaml"}, exitJob, "finds no room"},
		{"no such flag", nil, []string{"check", "--fast", "job.yaml"}, exitJob, "unknown flag"},
		{"no such verb", nil, []string{"chek", "job.yaml"}, exitJob, "did you mean check?"},
		{"a group of keys", nil, []string{"features", "product"}, exitOK, "key of pocket"},
		{"a kind that is a key too", nil, []string{"features", "slot"}, exitOK, "example:"},
		{"file is there", nil, []string{"new", "parts_tray", "-o", "job.yaml"}, exitFault, "exists already"},
		{"no such file asked", nil, []string{"build", "job.yaml", "--only", "tool.step"}, exitJob, "allowed: tool.stl"},
		{"no job", nil, []string{"build"}, exitJob, "one job file"},
		{"tolerance", nil, []string{"build", "job.yaml", "--tolerance", "5"}, exitJob, "allowed 0.002 to 1 mm"},
		{"missing file", nil, []string{"check", "gone.yaml"}, exitFault, "gone.yaml"},
		{"no such material", nil, []string{"materials", "cheese"}, exitJob, "HIPS"},
		{"no such kind", nil, []string{"features", "handle"}, exitJob, "pocket"},
		{"part without sheet", nil, []string{"build", "job.yaml", "--no-sheet", "--only", "part.stl"}, exitJob, "made from the formed sheet"},
		{"no such sheet", nil, []string{"options", "job.yaml", "--materials", "tin"}, exitJob, "HIPS"},
		{"stacked", nil, []string{"stack", "job.yaml"}, exitOK, "nest    pitch"},
		{"stacked, findings", steep, []string{"stack", "job.yaml"}, exitFindings, "nest    pitch"},
		{"lid", nil, []string{"stack", "job.yaml", "--lid", "job.yaml"}, exitOK, "lid     float"},
		{"no such lid", nil, []string{"stack", "job.yaml", "--lid", "gone.yaml"}, exitFault, "gone.yaml"},
		{"no such stack", nil, []string{"stack", "job.yaml", "--layers", "-1"}, exitJob, "allowed 1 to 1000"},
		{"no measurements", nil, []string{"calibrate", "job.yaml"}, exitJob, "file of measurements"},
		{"not measurements", nil, []string{"calibrate", "job.yaml", "job.yaml"}, exitJob, "column"},
		{"no such starter", nil, []string{"new", "boat"}, exitJob, "parts_tray"},
		{"starter meant", nil, []string{"new", "cvoer"}, exitJob, "did you mean cover?"},
		{"material meant", nil, []string{"materials", "HISP"}, exitJob, "did you mean HIPS?"},
		{"kind meant", nil, []string{"features", "pockte"}, exitJob, "did you mean pocket?"},
		{"file meant", nil, []string{"build", "job.yaml", "--only", "tool.stll"}, exitJob, "did you mean tool.stl?"},
		{"other word for a material", []string{"material: aluminium 5083", "material: aluminum"}, []string{"check", "job.yaml"}, exitJob, `did you mean "aluminium 5083"?`},
		{"nothing to close", nil, []string{"close", "job.yaml"}, exitJob, "features of kind hinge_line"},
		{"flag meant for programs", nil, []string{"check", "--fast", "--json"}, exitJob, `"exit_status": 2`},
		{"no room", nil, []string{"layout", "job.yaml", "--inside", "30x30"}, exitJob, "its opening is"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, test.change...)
			code, out, errs := shell(t, dir, test.args...)
			require.Equal(t, test.want, code, "%s%s", out, errs)
			require.Contains(t, out+errs, test.says)
		})
	}
}

// TestFailureAsJSON: a program that asks for JSON is told in JSON why there is no result.
func TestFailureAsJSON(t *testing.T) {
	type answer struct {
		Status int `json:"exit_status"`
		Faults []struct {
			Pos struct {
				File         string
				Line, Column int
			}
			Feature, Text, Allowed string
			Nearest                string `json:"did_you_mean"`
		}
	}
	for _, verb := range []string{"build", "check", "stack", "close", "options", "layout"} {
		dir := t.TempDir()
		write(t, dir, "depth: 8", "dpeth: 8")
		code, out, errs := shell(t, dir, verb, "--json", "job.yaml")
		require.Equal(t, exitJob, code)
		require.Empty(t, errs)
		var a answer
		require.NoError(t, json.Unmarshal([]byte(out), &a), "%s: %s", verb, out)
		require.Equal(t, exitJob, a.Status)
		f := a.Faults[0]
		require.Equal(t, "job.yaml", f.Pos.File)
		require.Equal(t, []int{10, 5}, []int{f.Pos.Line, f.Pos.Column})
		require.Equal(t, "depth", f.Nearest)
		require.Contains(t, f.Allowed, "depth")

		if verb == "options" { // it says in its table what can not be made
			continue
		}
		write(t, dir, "depth: 8", "depth: 8\n    floor: 30")
		code, out, _ = shell(t, dir, verb, "--json", "job.yaml")
		require.Equal(t, exitJob, code)
		a = answer{}
		require.NoError(t, json.Unmarshal([]byte(out), &a), "%s: %s", verb, out)
		require.NotEmpty(t, a.Faults[0].Text)
		if verb != "close" && verb != "layout" { // a part without hinge; a feature without product
			require.Equal(t, "I1/cell", a.Faults[0].Feature)
			require.NotZero(t, a.Faults[0].Pos.Line)
		}

		code, out, _ = shell(t, dir, verb, "--json", "gone.yaml")
		require.Equal(t, exitFault, code)
		require.NoError(t, json.Unmarshal([]byte(out), &a), "%s: %s", verb, out)
		require.Equal(t, exitFault, a.Status)
	}
}

func TestInterrupted(t *testing.T) {
	dir := t.TempDir()
	write(t, dir)
	t.Chdir(dir)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var o, e bytes.Buffer
	require.Equal(t, exitInterrupted, run(ctx, []string{"build", "job.yaml"}, streams{strings.NewReader(""), &o, &e}))
	require.Contains(t, e.String(), "nothing written")
	_, err := os.Stat("job")
	require.ErrorIs(t, err, os.ErrNotExist)
}

// TestHelpNamesExitStatus holds every verb's help to the statuses.
func TestHelpNamesExitStatus(t *testing.T) {
	for _, verb := range []string{"build", "check", "options", "stack", "calibrate", "new", "materials", "features", "schema"} {
		code, out, _ := shell(t, t.TempDir(), verb, "--help")
		require.Equal(t, exitOK, code)
		require.Contains(t, out, "Exit status: 0 made", verb)
		require.Contains(t, out, "130 interrupted", verb)
	}
}

// TestNothingStale builds a tool, breaks the job and builds again: no tool of the first build may
// stand beside the findings of the second.
func TestNothingStale(t *testing.T) {
	dir := t.TempDir()
	write(t, dir)
	code, out, errs := shell(t, dir, "build", "job.yaml", "--tolerance", "0.2")
	require.Equal(t, exitOK, code, out+errs)
	for _, name := range append(toolgen.Names(), "manifest.json") {
		if strings.HasPrefix(name, "close.") { // of a hinged pack alone
			require.NoFileExists(t, filepath.Join(dir, "job", name))
			continue
		}
		require.FileExists(t, filepath.Join(dir, "job", name))
	}
	write(t, dir, "depth: 8", "depth: 8\n    draft: 0.5")
	code, _, _ = shell(t, dir, "build", "job.yaml")
	require.Equal(t, exitFindings, code)
	require.NoFileExists(t, filepath.Join(dir, "job", "tool.stl"))
	require.FileExists(t, filepath.Join(dir, "job", "findings.json"))
}

func TestJSONAnswers(t *testing.T) {
	dir := t.TempDir()
	write(t, dir)
	for _, args := range [][]string{
		{"check", "job.yaml", "--json"}, {"build", "job.yaml", "--json", "--only", "drills.csv"}, {"materials", "--json"},
		{"materials", "PETG", "--json"}, {"features", "--json"}, {"features", "pocket", "--json"}, {"new", "--json"}, {"schema"}, {"options", "job.yaml", "--json"},
		{"stack", "job.yaml", "--json", "--load", "200"},
	} {
		code, out, errs := shell(t, dir, args...)
		require.Equal(t, exitOK, code, errs)
		require.True(t, json.Valid([]byte(out)), "%v", args)
	}
}

// TestStarters writes every starter as a user does and checks it.
func TestStarters(t *testing.T) {
	for _, name := range examples.Starters() {
		dir := t.TempDir()
		code, _, errs := shell(t, dir, "new", name)
		require.Equal(t, exitOK, code, errs)
		code, out, errs := shell(t, dir, "check", name+".yaml")
		require.Equal(t, exitOK, code, out+errs)
		code, _, errs = shell(t, dir, "new", name)
		require.Equal(t, exitFault, code)
		require.Contains(t, errs, "exists already")
		code, out, errs = shell(t, dir, "new", name, "--json", "-o", name+"-2.yaml")
		require.Equal(t, exitOK, code, errs)
		require.JSONEq(t, fmt.Sprintf(`{"starter": %q, "job": "%s-2.yaml"}`, name, name), out)
	}
}

func TestCompletion(t *testing.T) {
	for _, sh := range []string{"bash", "zsh", "fish", "powershell"} {
		code, out, _ := shell(t, t.TempDir(), "completion", sh)
		require.Equal(t, exitOK, code)
		require.Contains(t, out, "platen")
	}
	code, out, errs := shell(t, t.TempDir(), "completion", "foo")
	require.Equal(t, exitJob, code)
	require.Empty(t, out)
	require.Contains(t, errs, `no completion for "foo"; allowed: bash, fish, powershell, zsh`)
	_, out, _ = shell(t, t.TempDir(), "__complete", "features", "st")
	require.Contains(t, out, "stacking_lug")
	_, out, _ = shell(t, t.TempDir(), "__complete", "materials", "PE")
	require.Contains(t, out, "PETG")
	_, out, _ = shell(t, t.TempDir(), "__complete", "build", "--only", "")
	require.Contains(t, out, "tool.stl")
}

func TestLayout(t *testing.T) {
	dir := t.TempDir()
	write(t, dir)
	for _, tt := range []struct {
		args []string
		want int
		says string
	}{
		{[]string{"layout", "job.yaml", "cell", "--inside", "300x200"}, exitOK, "part: {outline: {rect: [296, 196], corner: 8}}"},
		{[]string{"layout", "job.yaml"}, exitOK, "review of the job so filled, walls by area balance"},
		{[]string{"layout", "job.yaml", "--json", "--inside", "300x200"}, exitOK, `"plain_grid"`},
		{[]string{"layout", "job.yaml", "sell"}, exitJob, `no feature "sell" on the land`},
		{[]string{"layout", "job.yaml", "--inside", "300"}, exitJob, "two sizes in mm"},
		{[]string{"layout", "job.yaml", "--base", "300x200"}, exitJob, "--base and --deep go together"},
		{[]string{"layout", "job.yaml", "--land", "-1"}, exitJob, "0 to 1000 mm"},
		{[]string{"layout"}, exitJob, "not 0 words"},
	} {
		code, out, errs := shell(t, dir, tt.args...)
		require.Equal(t, tt.want, code, "%v: %s", tt.args, errs)
		require.Contains(t, out+errs, tt.says)
	}
}
