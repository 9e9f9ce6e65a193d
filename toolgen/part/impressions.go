package part

import (
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

// repeat places the impressions: across first, from the least X and Y, as places of a repeat are.
//
// ERROR: *BuildError where parts would lie over each other.
func (p *Part) repeat() error {
	v := p.Job.Tool.Group("impressions")
	p.Impressions, p.Together = []geom.Vec2{{}}, v.Choice("trimmed") == "together"
	if !p.Job.Tool.Given("impressions") {
		return nil
	}
	grid, pitch := v.Grid("grid"), v.Point("pitch")
	p.Impressions = p.Impressions[:0]
	for j := range grid[1] {
		for i := range grid[0] {
			p.Impressions = append(p.Impressions, geom.Vec2{X: float64(i) * pitch.X, Y: float64(j) * pitch.Y})
		}
	}
	for _, step := range [][2]int{{1, 0}, {0, 1}, {1, 1}, {1, -1}} {
		if grid[0] <= step[0] || grid[1] <= max(step[1], -step[1]) {
			continue
		}
		by := geom.Vec2{X: float64(step[0]) * pitch.X, Y: float64(step[1]) * pitch.Y}
		next, err := p.Outline.Map(geom.Moved(by))
		if err != nil {
			return err
		}
		if d, where := next.Beyond(p.Outline.Hole(0)); d > overlap {
			return &BuildError{v.Pos("pitch"), "tool.impressions", fmt.Errorf("the part next across or away, %.3f, %.3f mm from the first, lies %.2f mm over it near x %.2f, y %.2f; a pitch of at least %.3f, %.3f mm keeps them apart",
				by.X, by.Y, d, where.X, where.Y, p.Outline.Bounds().Size().X, p.Outline.Bounds().Size().Y)}
		}
	}
	return nil
}

// overlap is what parts that share a cut may lie over each other by rounding, mm.
const overlap = 1e-6

// TrimOf returns the trim line of an impression in the plan of the first, at the pitch that holds on the
// cold parts.
func (p *Part) TrimOf(i int) (*outline.Outline, error) {
	return p.Outline.Map(geom.Moved(p.Impressions[i]))
}

// Span returns how far the last impression lies from the first, mm.
func (p *Part) Span() geom.Vec2 {
	var s geom.Vec2
	for _, v := range p.Impressions {
		s = geom.Vec2{X: math.Max(s.X, v.X), Y: math.Max(s.Y, v.Y)}
	}
	return s
}
