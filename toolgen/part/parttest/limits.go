package parttest

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
	"platen/toolgen/part"
	"platen/toolgen/wall"

	"platen/toolgen/body"
)

// variant is an example with one key changed.
type variant struct {
	name string
	text string // of the example
	odd  bool   // a text or a file: its refusal has no number to name
}

// variants returns the example with every key at the ends of its range, at every choice, and given
// at all.
func (s *suite) variants() []variant {
	var out []variant
	for _, p := range s.kind.Params {
		base := s.kind.Example
		if slices.Contains(plans, p.Key) {
			for _, key := range plans {
				base = Set(base, s.kind.Name, key, "")
			}
		}
		texts := ends(p)
		switch p.Type {
		case job.Groups:
			texts = groupEnds(base, p)
		case job.Group:
			texts = memberEnds(p)
		}
		for _, v := range texts {
			out = append(out, variant{p.Key + ": " + v, Set(base, s.kind.Name, p.Key, v), p.Type == job.Text})
		}
	}
	return out
}

// plans are the keys that give a feature its plan; one stands in for the others.
var plans = []string{"size", "outline", "diameter", "slot", "product"}

// longest stands for the upper end of a key without one, mm or degrees.
const longest = 1000.0

// ends returns the texts of a key's value at the ends of its range.
func ends(p job.Param) []string {
	hi := p.Max
	if hi == 0 {
		hi = longest
	}
	lo, mid := p.Min, (p.Min+hi)/2
	switch p.Type {
	case job.Length, job.Angle, job.Number, job.Temperature:
		return []string{num(lo), num(hi), num(mid), num(lo + (hi-lo)/50)}
	case job.Count:
		return []string{num(lo), num(hi)}
	case job.Point:
		return []string{pair(lo, lo), pair(hi, hi), pair(lo, hi), pair(hi, lo), pair(hi/20, hi/30)}
	case job.Choice:
		return p.Choices
	case job.Flag:
		return []string{"true", "false"}
	case job.Text:
		return []string{"I", "O8&%", "\"  \"", "ÄÖ ß", "\"\U0001F600\"", strings.Repeat("W", 60)}
	case job.Groups, job.Group: // see groupEnds and memberEnds
		return nil
	case job.Outline:
		return []string{"{circle: 40}", "{slot: [60, 20]}", "{rect: [60, 40], corner: 8}", "{rect: [60, 40], corner: 0}",
			"{polygon: [[-40, -30], [40, -30], [0, 40]], corner: 6}", "{polygon: [[0, 0], [60, 0], [60, 60], [30, 20], [0, 60]], corner: 6}",
			"{svg: plate.svg, corner: 6}", "{svg: plate.svg}", "{svg: ring.svg}",
			"{circle: 0.001}", "{circle: 10000}", "{polygon: [[0, 0], [1, 0], [2, 0]]}"}
	}
	panic("parttest: no texts for a " + p.Type.String())
}

func num(v float64) string     { return fmt.Sprintf("%.6g", v) }
func pair(x, y float64) string { return fmt.Sprintf("[%.6g, %.6g]", x, y) }

// limits builds every variant: what builds keeps the promises of a field, what does not is refused at
// its place with numbers. Over all of them every declared key is read, and the kind goes the ways it
// says.
func (s *suite) limits(t *testing.T) {
	unread := map[string]bool{}
	for _, p := range s.kind.Params {
		unread[p.Key] = true
		for _, q := range p.Params {
			unread[p.Key+"."+q.Key] = true
		}
	}
	ways := map[bool]bool{}
	built := 0
	for _, v := range append(s.variants(), variant{name: "as it is", text: s.kind.Example}) {
		text := Head(large) + Entry(v.text)
		j, err := job.Read([]byte(text), "job.yaml", plain(s.kinds), job.Names{})
		if err != nil {
			require.True(t, v.odd || strings.HasPrefix(v.name, "outline"), "%s is within the declared range but not read: %v", v.name, err)
			require.NoError(t, Unplaced(err, text), v.name)
			continue
		}
		p, err := part.Resolve(j, s.kinds, open)
		s.taken(j.Features, unread)
		if err != nil {
			refused(t, v, err, text)
			continue
		}
		for _, f := range p.Features {
			if f.Kind == s.kind.Name {
				ways[f.Sunk] = true
			}
		}
		b, err := body.Assemble(p, wall.None{})
		if err != nil {
			refused(t, v, err, text)
			continue
		}
		built++
		if len(b.Solids) == 0 { // holes that are cut after forming leave the tool as it is
			continue
		}
		t.Run(v.name, func(t *testing.T) { field(t, b, s.source(), 100) })
	}
	require.NotZero(t, built)
	for key, not := range unread {
		require.False(t, not, "key %s is declared but nothing reads it", key)
	}
	require.Equal(t, map[string]map[bool]bool{
		"sunk": {true: true}, "raised": {false: true}, "raised or sunk": {true: true, false: true},
	}[s.kind.On], ways, "sunk features seen, and raised ones, of a kind that says %q", s.kind.On)
}

// refused checks a refusal of numbers that make no geometry.
func refused(t *testing.T, v variant, err error, text string) {
	t.Helper()
	require.NoError(t, Unplaced(err, text), v.name)
	for _, e := range each(err) {
		require.True(t, v.odd || strings.ContainsAny(reason(e), "0123456789"), "%s is refused without a number: %v", v.name, e)
	}
}

// reason returns the words of a refusal behind its place and feature.
func reason(err error) string {
	var b *part.BuildError
	if !errors.As(err, &b) {
		return err.Error()
	}
	return b.Err.Error()
}

// taken strikes off the keys that the kind has read.
func (s *suite) taken(items []*job.Item, unread map[string]bool) {
	for _, it := range items {
		if it.Kind == s.kind.Name {
			left := map[string]bool{}
			for _, key := range it.Values.Unread() {
				left[key] = true
			}
			for key := range unread {
				group, _, _ := strings.Cut(key, ".")
				unread[key] = unread[key] && (left[key] || left[group])
			}
		}
		s.taken(it.Children, unread)
	}
}
