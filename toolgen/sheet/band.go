package sheet

import (
	"context"

	"platen/toolgen/body"
	"platen/toolgen/piece"
)

// Band forms the sheet at the low and the high stiffening, one after the other since a run of a large tray is most
// of the memory, and keeps what they say of the walls: the usual one alone would be taken for truth. Unverified.
func (f *Formed) Band(ctx context.Context) error {
	for i, k := range [...]float64{Stiffening.Low, Stiffening.High} {
		end, err := Form(ctx, f.Body, Options{Stiffening: k, areas: true})
		if err != nil {
			return err
		}
		f.band[i] = end.Areas
	}
	return nil
}

// Span returns the least and the largest low wall of a role of a feature over the band, mm; ok is
// false where no band was formed, or one of its runs saw nothing there.
func (f *Formed) Span(feature string, role piece.Role) (low, high float64, ok bool) {
	all := [...][]Area{f.Areas, f.band[0], f.band[1]}
	for i, areas := range all {
		seen := false
		for _, a := range areas {
			if a.Feature != feature || a.Role != role || a.Size <= 0 {
				continue
			}
			seen = true
			if i == 0 {
				low, high = a.Low, a.Low
			}
			low, high = min(low, a.Low), max(high, a.Low)
		}
		if !seen {
			return 0, 0, false
		}
	}
	return low, high, true
}

// stiffening returns the ratio the job gives for its sheet, or the usual one.
func stiffening(b *body.Body) float64 {
	if s := b.Part.Job.Sheet; s.Has("stiffening") {
		return s.Number("stiffening")
	}
	return Stiffening.Usual
}
