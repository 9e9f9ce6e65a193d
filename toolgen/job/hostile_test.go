package job_test

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
)

// hostile are files made to cost time or memory out of all proportion to their size.
func hostile() map[string]string {
	rep := strings.Repeat
	bomb := func(list bool, levels, wide int) string {
		var b strings.Builder
		b.WriteString("a0: &a0 x\n")
		for i := 1; i <= levels; i++ {
			r := fmt.Sprintf("*a%d", i-1)
			if list {
				fmt.Fprintf(&b, "a%d: &a%d [%s]\n", i, i, strings.TrimSuffix(rep(r+", ", wide), ", "))
			} else {
				fmt.Fprintf(&b, "a%d: &a%d {", i, i)
				for k := range wide {
					fmt.Fprintf(&b, "k%d: %s , ", k, r)
				}
				b.WriteString("z: 1}\n")
			}
		}
		return b.String()
	}
	stairs := func(line string, n int) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(rep(" ", i) + line + "\n")
		}
		return b.String()
	}
	m := map[string]string{
		"alias bomb of lists":       bomb(true, 9, 9),
		"alias bomb of lists, wide": bomb(true, 4, 1000),
		"alias bomb of lists, deep": bomb(true, 2000, 2),
		"alias bomb of keys":        bomb(false, 9, 9),
		"alias bomb of keys, deep":  bomb(false, 1000, 3),
		"alias of itself":           "a: &a [*a]\n",
		"alias of itself by key":    "a: &a {b: *a}\n",
		"merge of itself":           "a: &a\n  <<: *a\n",
		"merge bomb":                "a: &a {x: 1}\nb: {<<: [" + rep("*a, ", 100000) + "*a]}\n",
		"anchors only":              rep("- &a x\n", 100000),
		"alias on every line":       "- &a x\n" + rep("- *a\n", 150000),
		"51 brackets":               top + "features: " + rep("[", 51) + rep("]", 51) + "\n",
		"51 lists":                  top + "features:\n" + rep("- ", 51) + "x\n",
		"10 000 brackets":           rep("[", 10000),
		"a million brackets":        rep("[", 1<<20),
		"a million braces":          rep("{", 1<<20),
		"braces with keys":          rep("{a: ", 250000),
		"brackets and braces":       rep("[{", 1<<19),
		"brackets on lines":         rep("[\n", 1<<19),
		"brackets closed":           rep("[", 1<<19) + rep("]", 1<<19),
		"lists in lists":            rep("- ", 1<<19),
		"keys in keys":              rep("? ", 1<<19),
		"stairs of keys":            stairs("a:", 1400),
		"stairs of lists":           stairs("-", 1400),
		"stairs within brackets":    "a: [" + stairs("[", 1000),
		"brackets behind a quote":   "a: it's " + rep("[", 500000),
		"brackets behind a comment": "# '\na: " + rep("[", 500000),
		"brackets in a text block":  "a: |\n  '\nb: " + rep("[", 9000),
		"braces in a text block":    "a: >\n  \"\nb: " + rep("{", 9000),
		"quotes never closed":       rep("\"a\n", 300000),
		"one long line":             "a: " + rep("b", 1<<20-10),
		"one long key":              rep("k", 1<<20-10) + ": 1",
		"one long number":           "format: " + rep("9", 1<<20-10),
		"keys all unknown":          rep("k: 1\n", 200000),
		"unknown keys, all different": func() string {
			var b strings.Builder
			for i := range 50000 {
				fmt.Fprintf(&b, "%07d: 1\n", i)
			}
			return b.String()
		}(),
		"features that are nothing": top + "features: [" + rep("1,", 200000) + "1]\n",
		"places beyond count":       top + "features:\n" + rep("  - {kind: boss, diameter: 9, height: 3, repeat: {grid: [20000, 20000], pitch: [1, 1]}}\n", 5000),
		"places nested":             top + "features:\n  - &x {kind: boss}\n" + rep("  - {kind: boss, diameter: 9, height: 3, repeat: {grid: [100, 200], pitch: [1, 1]}}\n", 5000),
		"a byte too many":           top + rep("#", 1<<20+1-len(top)),
		"documents":                 rep("---\na: 1\n", 100000),
		"comments":                  rep("#\n", 1<<19),
		"line ends":                 rep("\n", 1<<20),
		"bad indentation far down":  top + "features:\n" + rep("  - {kind: boss, diameter: 9, height: 3}\n", 8000) + " x: 1\n",
		"bracket open far up":       top + "features: [\n" + rep("  {kind: boss, diameter: 9, height: 3},\n", 8000) + "\nshrink: {off: true}\n",
	}
	return m
}

// TestHostileFilesAreRefusedQuickly holds time and memory with room for a slow, busy machine: an
// unguarded reader needs minutes or gigabytes on the worst of them.
func TestHostileFilesAreRefusedQuickly(t *testing.T) {
	for name, text := range hostile() {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			_, err := job.Read([]byte(text), "j.yaml", kinds(), names)
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			require.Error(t, err)
			require.LessOrEqual(t, len(firstLines(t, err)), 50)
			require.Less(t, len(err.Error()), 50*3000)
			require.Less(t, took, 20*time.Second)
			require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(2<<30))
			t.Logf("%v, %d MB: %s", took.Round(time.Millisecond), (after.TotalAlloc-before.TotalAlloc)>>20, firstLines(t, err)[0])
		})
	}
}
