package form_test

import (
	"testing"

	"platen/toolgen/form"
	"platen/toolgen/form/formtest"
	"platen/toolgen/geom"
)

func BenchmarkPocket(b *testing.B) {
	tool := formtest.Pocket()
	for b.Loop() {
		sh := formed(b, tool, pocketSetup(0.1), form.Options{})
		b.ReportMetric(float64(len(sh.Triangles)), "triangles")
	}
}

// BenchmarkTray forms the 12-pocket tray; with two workers the time falls and the work stays.
func BenchmarkTray(b *testing.B) {
	tool, block := formtest.Tray()
	benchmarkTray(b, tool, block, form.Options{})
}

// BenchmarkSmallTray forms 96 small pockets.
func BenchmarkSmallTray(b *testing.B) {
	tool, block := formtest.SmallTray()
	benchmarkTray(b, tool, block, form.Fit(39, 1.56))
}

func benchmarkTray(b *testing.B, tool form.Tool, block geom.Box3, o form.Options) {
	s := form.OnPlaten(block, 20)
	s.Gauge, s.Law, s.Pressure = 1, form.Rubber(0.1, 0.1), 0.09
	for _, c := range []struct {
		name    string
		workers int
	}{{"one", 1}, {"two", 2}} {
		b.Run(c.name, func(b *testing.B) {
			o.Workers = c.workers
			for b.Loop() {
				sh := formed(b, tool, s, o)
				b.ReportMetric(float64(len(sh.Triangles)), "triangles")
			}
		})
	}
}

func BenchmarkNearest(b *testing.B) {
	f := formed(b, formtest.Pocket(), pocketSetup(0.1), form.Options{}).Finder()
	i := 0.0
	for b.Loop() {
		i = i + 0.37
		if i > 100 {
			i = 0
		}
		f.Nearest(geom.Vec3{X: i - 50, Y: 0.7*i - 35, Z: -20})
	}
}
