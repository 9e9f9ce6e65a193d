package form_test

import (
	"flag"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
)

var long = flag.Bool("long", false, "run the problems that take long")

func TestCorpus(t *testing.T) {
	for _, p := range formtest.Problems() {
		if p.Long && !*long {
			continue // a campaign of its own: -long, see .ci/long
		}
		t.Run(p.Name, func(t *testing.T) {
			sh, err := form.Run(t.Context(), p.Tool, p.Setup, p.Options)
			require.NoError(t, err)
			require.InDelta(t, 0, sh.Balance(), 1e-12, "mass")
			f := sh.Finder()
			for _, c := range p.Checks {
				got := c.Get(sh, f)
				t.Logf("%s: %.4f, want %.4f (%+.2f %%), allowed %.1f %%", c.Name, got, c.Want, 100*(got/c.Want-1), 100*c.Rel)
				assert.InEpsilon(t, c.Want, got, c.Rel, "%s (%s)", c.Name, p.Source)
			}
		})
	}
}
