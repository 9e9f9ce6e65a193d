package review_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/finding"
	"platen/toolgen/review"
)

// byHand are rules that no job can break or that need a formed sheet: their tests are in Go.
var byHand = map[string]bool{
	"wall.undercut": true, // every wall of every kind has draft or stands plumb
	"wall.least":    true, "wall.bridged": true, "wall.web": true, "wall.model": true,
	"wall.wrinkle": true, "wall.uneven": true, "plug.advised": true,
	"vent.pull-down": true, "vent.trapped": true,
	"close.unknown": true, "close.gap": true, "close.strikes": true, "close.room": true, "close.drift": true,
	"snap.overlap": true, "snap.strain": true, "snap.shut": true,
}

// TestRules holds every rule against the jobs of its file: beyond its limit, within it, and with the
// change that the fix names made.
func TestRules(t *testing.T) {
	for _, r := range review.Rules() {
		if byHand[r.ID] {
			require.True(t, told(t, r.ID), "no test in Go is about %s", r.ID)
			continue
		}
		t.Run(r.ID, func(t *testing.T) {
			jobs := read(t, file(r.ID))
			seen := map[string]int{}
			var beyond []finding.Finding // of the job before
			for _, g := range jobs {
				t.Run(g.name, func(t *testing.T) {
					seen[g.kind()]++
					fs := judgeFor(t, r.ID, g.text)
					compare(t, r.ID, wants(t, g.text), fs)
					mine := of(r.ID, fs)
					switch g.kind() {
					case "beyond":
						require.NotEmpty(t, mine)
						beyond = mine
					case "within":
						require.Empty(t, mine)
					case "mended":
						mended(t, g.text, beyond, mine)
						beyond = mine
					default:
						t.Fatalf("a job is beyond, within or mended, not %q", g.name)
					}
				})
			}
			require.NotZero(t, seen["beyond"], "no job is beyond the limit")
			if r.ID != "wall.not-simulated" { // see TestWallsAreEstimatesUntilFormed
				require.NotZero(t, seen["within"], "no job is within the limit")
			}
		})
	}
}

// told reports whether another test file names a rule.
func told(t *testing.T, id string) bool {
	t.Helper()
	files, err := filepath.Glob("*_test.go")
	require.NoError(t, err)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		if f != "rules_test.go" && strings.Contains(string(text), `"`+id+`"`) {
			return true
		}
	}
	return false
}

// mended checks that a job takes the change that the fix of the job before names, in its lines marked
// "# fix", or "# fix 0.5" where the fix names a change of 0.5 and not the value itself, and that this
// lowers the finding or takes it away.
func mended(t *testing.T, text string, before, after []finding.Finding) {
	t.Helper()
	require.NotEmpty(t, before, "no finding to be mended stands before it")
	changed := 0
	for _, line := range strings.Split(text, "\n") {
		value, change, ok := strings.Cut(line, "# fix")
		if !ok {
			continue
		}
		changed++
		_, value, _ = strings.Cut(value, ":")
		change, _, _ = strings.Cut(change, "#")
		if change = strings.TrimSpace(change); change == "" {
			change = strings.TrimSpace(value)
		}
		named := false
		for _, f := range before {
			named = named || strings.Contains(f.Fix, change)
			for n := range numbers(change) {
				named = named || numbers(f.Fix)[n]
			}
		}
		require.True(t, named, "%q is not what the fix names:\n%s", change, list(before))
	}
	require.NotZero(t, changed, "no line is marked # fix")
	worst := func(fs []finding.Finding) int {
		w := -1
		for _, f := range fs {
			w = max(w, int(f.Severity))
		}
		return w
	}
	require.True(t, len(after) < len(before) || worst(after) < worst(before), "the fix leaves\n%s", list(after))
}

// TestEveryFileHasItsRule finds jobs whose rule is gone.
func TestEveryFileHasItsRule(t *testing.T) {
	ids := map[string]bool{}
	for _, r := range review.Rules() {
		require.False(t, ids[r.ID], "two rules %s", r.ID)
		ids[r.ID] = true
		require.NotEmpty(t, r.Title)
	}
	files, err := os.ReadDir("testdata")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		if filepath.Ext(f.Name()) == ".yaml" {
			require.True(t, ids[strings.TrimSuffix(f.Name(), ".yaml")], "%s has no rule", f.Name())
		}
	}
}
