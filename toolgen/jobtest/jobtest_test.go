package jobtest_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/body"
	"platen/toolgen/job"
	"platen/toolgen/jobtest"
	"platen/toolgen/part"
	"platen/toolgen/wall"
)

var numbers = regexp.MustCompile(`[0-9.()-]+`)

// TestRandom holds the generator to what its package says: every text is read, at least four of five
// jobs can be made, every kind it knows and both sides occur, and a seed gives one text.
func TestRandom(t *testing.T) {
	var kinds []job.Kind
	for _, k := range features.All() {
		kinds = append(kinds, k.Kind)
	}
	const n = 300
	made, seen, refusals := 0, map[string]int{}, map[string]int{}
	for seed := range uint64(n) {
		text := jobtest.Random(seed)
		require.Equal(t, text, jobtest.Random(seed))
		j, err := job.Read([]byte(text), "random.yaml", kinds, job.Names{})
		require.NoError(t, err, text)
		p, err := part.Resolve(j, features.All(), nil)
		if err == nil {
			var w wall.Walls = wall.Nominal{Gauge: p.Gauge, Over: j.Tool.Choice("contact") == "upper"}
			if j.Tool.Choice("wall_allowance") == "none" {
				w = wall.None{}
			}
			var b *body.Body
			if b, err = body.Assemble(p, w); err == nil {
				made++
				for _, s := range b.Solids {
					seen[s.Kind]++
					if s.Member >= 0 {
						seen["crossing"]++
					}
					if s.Parent != nil {
						seen["nested"]++
					}
					if s.Female() {
						seen["female"]++
					} else {
						seen["male"]++
					}
				}
				continue
			}
		}
		reason := err.Error()
		if i := strings.LastIndex(reason, ": "); strings.Count(reason, "\n") == 0 && i > 0 {
			parts := strings.SplitN(reason, ": ", 3)
			reason = parts[len(parts)-1]
		}
		reason, _, _ = strings.Cut(numbers.ReplaceAllString(reason, "#"), "\n")
		refusals[reason]++
	}
	t.Logf("%d of %d made; features %v", made, n, seen)
	for r, k := range refusals {
		t.Logf("%3d %s", k, r)
	}
	require.GreaterOrEqual(t, 5*made, 4*n)
	for _, k := range append(jobtest.Kinds(), "crossing", "nested", "male", "female") {
		require.GreaterOrEqual(t, seen[k], 10, k)
	}
}
