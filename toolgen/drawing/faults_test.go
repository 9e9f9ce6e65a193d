package drawing_test

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
)

func square(x, y, l float64) [][]any {
	return [][]any{line(x, y, x+l, y), line(x+l, y, x+l, y+l), line(x+l, y+l, x, y+l), line(x, y+l, x, y)}
}

func with(e [][]any, more ...[]any) [][]any { return append(append([][]any(nil), e...), more...) }

// TestDXFRefusals: every fault has its place and its reason.
func TestDXFRefusals(t *testing.T) {
	s := square(0, 0, 10)
	onLayer := func(e []any, layer string) []any {
		e = append([]any(nil), e...)
		e[2] = layer
		return e
	}
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"open":         {dxf(4, s[:3]...), `line 15, entity 1 LINE, layer "0" at (0, 0): a row of 3 entities is open: its other end, 10.000 mm off, is at (0, 10)`},
		"open alone":   {dxf(4, onLayer(line(0, 0, 5, 0), "CUT")), `layer "CUT" at (0, 0): is open: its other end, 5.000 mm off, is at (5, 0)`},
		"open inch":    {dxf(1, line(1, 2, 2, 2)), `at (1, 2): is open: its other end, 25.400 mm off, is at (2, 2)`},
		"branch":       {dxf(4, with(s, line(0, 0, 10, 10))...), `at (0, 0): three ends or more within`},
		"crossing":     {dxf(4, line(0, 0, 10, 10), line(10, 10, 10, 0), line(10, 0, 0, 10), line(0, 10, 0, 0)), `line 15, entity 1 LINE, layer "0" at (5, 5): crosses or touches line 39, entity 3 LINE`},
		"touching":     {dxf(4, with(s, square(10, 2, 5)...)...), `crosses or touches`},
		"overlapping":  {dxf(4, with(s, square(5, 5, 10)...)...), `at (10, 5): crosses or touches`},
		"twice":        {dxf(4, with(s, line(10, 10, 10, 0))...), `entity 5 LINE, layer "0" at (10, 10): is drawn twice: it lies on line 27, entity 2 LINE`},
		"circle twice": {dxf(4, []any{"CIRCLE", 8, "0", 10, 0, 20, 0, 40, 5}, []any{"CIRCLE", 8, "0", 10, 0, 20, 0, 40, 5}), `entity 2 CIRCLE, layer "0" at (5, 0): is drawn twice`},
		"no length":    {dxf(4, with(s, line(50, 50, 50, 50))...), `at (50, 50): has no length`},
		"no radius":    {dxf(4, []any{"CIRCLE", 8, "0", 10, 0, 20, 0, 40, 0}), `has the radius 0`},
		"text":         {dxf(4, with(s, []any{"TEXT", 8, "0", 10, 0, 20, 0, 40, 3, 1, "hello"})...), `line 63, entity 5 TEXT, layer "0": is text`},
		"point":        {dxf(4, with(s, []any{"POINT", 8, "0", 10, 0, 20, 0})...), `is a point`},
		"solid":        {dxf(4, with(s, []any{"3DSOLID", 8, "0"})...), `three-dimensional`},
		"rising":       {dxf(4, []any{"LINE", 8, "0", 10, 0, 20, 0, 30, 0, 11, 5, 21, 0, 31, 4}), `rises from 0 to 4`},
		"tilted":       {dxf(4, []any{"CIRCLE", 8, "0", 10, 0, 20, 0, 40, 5, 210, 1, 220, 0, 230, 0}), `not seen from above`},
		"net":          {dxf(4, []any{"POLYLINE", 8, "0", 66, 1, 70, 64}, []any{"SEQEND"}), `three-dimensional`},
		"unknown":      {dxf(4, []any{"OLE2FRAME", 8, "0"}), `of a kind that is not read`},
		"no block":     {dxf(4, []any{"INSERT", 8, "0", 2, "PART", 10, 0, 20, 0}), `inserts the block "PART", which is not in the file`},
		"no unit":      {dxf(0, s...), `does not say its unit`},
		"odd unit":     {dxf(20, s...), `line 7: the unit with the number 20`},
		"two units":    {dxf(1, s...), `the file is in inch ($INSUNITS), but mm was asked for`},
		"no number":    {dxf(4, []any{"LINE", 8, "0", 10, "abc", 20, 0, 11, 5, 21, 0}), `entity 1 LINE, layer "0": has "abc" where a number`},
		"not a number": {dxf(4, []any{"LINE", 8, "0", 10, "NaN", 20, 0, 11, 5, 21, 0}), `has "NaN" where a number`},
		"no point":     {dxf(4, []any{"LINE", 8, "0", 10, 1, 20, 0}), `has no point (group 11 or 21 is missing)`},
		"far":          {dxf(4, line(0, 0, 1e9, 0)), `farther than 100 m`},
		"empty":        {dxf(4), `nothing to read`},
		"no file":      {[]byte("hello\nworld\n"), `line 1: "hello" where a group code is expected`},
		"binary":       {[]byte("Binary DXF\r\n\x1a\x00abc"), `is binary`},
		"cut off":      {dxf(4, s...)[:200], `cut off`},
		"no seqend":    {dxf(4, []any{"POLYLINE", 8, "0"}, []any{"VERTEX", 8, "0", 10, 0, 20, 0}, line(0, 0, 1, 1)), `instead of SEQEND`},
		"fit points":   {dxf(4, []any{"SPLINE", 8, "0", 71, 3, 11, 0, 21, 0}), `fit points alone`},
		"bulge":        {dxf(4, []any{"LWPOLYLINE", 8, "0", 70, 1, 10, 0, 20, 0, 42, 1e9, 10, 5, 20, 0}), `has the bulge 1e+09 at vertex 1`},
	} {
		t.Run(name, func(t *testing.T) {
			o := drawing.Options{}
			if name == "two units" {
				o = mm
			}
			d, err := drawing.ReadDXF(c.data, o)
			require.Nil(t, d)
			require.ErrorContains(t, err, c.want)
			var r *drawing.Refusal
			require.True(t, errors.As(err, &r))
			require.Equal(t, "DXF", r.Format)
		})
	}
}

// TestSVGRefusals does so for SVG; places are in user units of the page.
func TestSVGRefusals(t *testing.T) {
	for name, c := range map[string]struct{ body, want string }{
		"open":        {"<g>\n<path id=\"a\" d=\"M0 0H20V10\"/></g>", `line 2, entity 3 path at (0, 0): is open: its other end, 22.361 mm off, is at (20, 10)`},
		"line":        {`<line x1="1" y1="2" x2="3" y2="2"/>`, `line at (1, 2): is open`},
		"crossing":    {`<polygon points="0,0 10,10 10,0 0,10"/>`, `polygon at (5, 5): crosses or touches itself`},
		"twice":       {`<circle r="5"/><g><circle r="5"/></g>`, `is drawn twice`},
		"spike":       {`<path d="M0 0H20 10V10z"/>`, `crosses or touches itself`},
		"overlap":     {`<circle r="5"/><circle cx="3" r="5"/>`, `entity 2 circle at (1.5, 4.7697): crosses or touches line 1, entity 3 circle`},
		"text":        {`<text>abc</text>`, `is text`},
		"use":         {`<use href="#a"/>`, `is a reference`},
		"image":       {`<image href="http://localhost/a.png"/>`, `is a picture`},
		"page":        {`<svg/>`, `page within the page`},
		"unknown":     {`<mesh/>`, `of a kind that is not read`},
		"command":     {`<path d="M0 0 X5"/>`, `the path command 'X' is not known`},
		"no move":     {`<path d="L0 0"/>`, `not with a move`},
		"no number":   {`<path d="M0 0 L5"/>`, `where a number`},
		"huge":        {`<path d="M0 0 L1e300 0"/>`, `where a number`},
		"flag":        {`<path d="M0 0A5 5 0 2 0 5 5"/>`, `flag 0 or 1`},
		"radius":      {`<circle r="-1"/>`, `must be above 0`},
		"side":        {`<rect width="5"/>`, `sides must be above 0`},
		"per cent":    {`<circle r="5%"/>`, `is no length`},
		"em":          {`<circle r="5em"/>`, `the unit`},
		"transform":   {`<g transform="spin(5)"><circle r="5"/></g>`, `the transform "spin"`},
		"flat":        {`<g transform="scale(0)"><circle r="5"/></g>`, `leaves no area`},
		"css":         {`<g style="transform: scale(2)"><circle r="5"/></g>`, `transform in its style`},
		"points":      {`<polygon points="0 0 5"/>`, `pairs`},
		"cusp":        {`<path d="M0 0C20 20 -10 20 10 0 L10 -5 0 -5z"/>`, `crosses or touches itself`},
		"nothing":     {`<g/>`, `nothing to read`},
		"not closed":  {`<g>`, `not well formed`},
		"entity":      {`<g>&amp;&boom;</g>`, `not well formed`},
		"not visible": {`<circle r="5" display="none"/>`, `nothing to read`},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := drawing.ReadSVG(svgFile("", c.body), mm)
			require.Nil(t, d)
			require.ErrorContains(t, err, c.want)
		})
	}
	for body, want := range map[string]string{
		`<html/>`:                                `no svg`,
		``:                                       `no svg element`,
		`<!DOCTYPE svg [<!ENTITY a "b">]><svg/>`: `declares entities`,
		`<svg/><svg/>`:                           `second outermost`,
		`<svg width="5mm" height="0"/>`:          `is no length above 0`,
		`<svg viewBox="0 0 5"/>`:                 `is not four numbers`,
		`<svg width="5" height="5" viewBox="0 0 5 0"/>`:                                    `is not four numbers`,
		`<svg width="5in"><circle r="5"/></svg>`:                                           `sized in inch, but mm`,
		`<?xml version="1.0" encoding="utf-16"?><svg/>`:                                    `is not read`,
		`<svg width="9mm" height="5mm" viewBox="0 0 1 1" preserveAspectRatio="abcdefgh"/>`: `is not known`,
	} {
		_, err := drawing.ReadSVG([]byte(body), mm)
		require.ErrorContains(t, err, want, body)
	}
}

// TestFaultsAreCounted: at most 20 faults are told.
func TestFaultsAreCounted(t *testing.T) {
	_, err := drawing.ReadSVG(svgFile("", strings.Repeat(`<text/>`, 100)), mm)
	var r *drawing.Refusal
	require.True(t, errors.As(err, &r))
	require.Len(t, r.Faults, 20)
}

// TestLayers: only what is on the layers named is read; layers that are off, paper and hidden things are
// passed over and told.
func TestLayers(t *testing.T) {
	data := dxf(4, with(square(0, 0, 10), []any{"TEXT", 8, "NOTES", 1, "a"}, []any{"CIRCLE", 8, "HOLES", 10, 5, 20, 5, 40, 2},
		[]any{"CIRCLE", 8, "0", 67, 1, 10, 5, 20, 5, 40, 2}, []any{"CIRCLE", 8, "0", 60, 1, 10, 5, 20, 5, 40, 2})...)
	table := "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n0\nLAYER\n2\nNotes\n70\n1\n62\n7\n0\nLAYER\n2\nHOLES\n70\n0\n62\n-3\n0\nENDTAB\n0\nENDSEC\n"
	at := bytes.Index(data, []byte("0\nSECTION\n2\nENTITIES"))
	off := append(append(append([]byte(nil), data[:at]...), table...), data[at:]...)

	d, err := drawing.ReadDXF(off, drawing.Options{})
	require.NoError(t, err)
	require.InDelta(t, 100, d.Outline.Area(), 1e-9)
	require.Len(t, d.Warnings, 4)
	d, err = drawing.ReadDXF(off, drawing.Options{Layers: []string{"0", "holes"}})
	require.NoError(t, err)
	require.Len(t, d.Loops, 2)
	_, err = drawing.ReadDXF(data, drawing.Options{})
	require.ErrorContains(t, err, "is text")
	_, err = drawing.ReadDXF(data, drawing.Options{Layers: []string{"CUT"}})
	require.ErrorContains(t, err, "nothing to read: no closed line on layer CUT")

	page := svgFile(`xmlns:x="urn:x" width="100mm" height="100mm" viewBox="0 0 100 100"`,
		`<g x:label="Cut" id="g1"><g id="sub"><rect x="10" y="10" width="10" height="10"/></g></g><g id="notes"><text>a</text></g>`)
	for _, name := range []string{"cut", "g1", "sub"} {
		d, err = drawing.ReadSVG(page, drawing.Options{Layers: []string{name}})
		require.NoError(t, err)
		require.Equal(t, geom.Box2{Min: geom.Vec2{X: 10, Y: 80}, Max: geom.Vec2{X: 20, Y: 90}}, rounded(d.Bounds))
	}
	_, err = drawing.ReadSVG(page, drawing.Options{})
	require.ErrorContains(t, err, `entity 6 text, layer "notes": is text`)
}

// TestUnits: a square of 10 units in every unit.
func TestUnits(t *testing.T) {
	for unit, size := range map[int]float64{1: 254, 2: 3048, 4: 10, 5: 100, 6: 10000, 9: 0.254, 13: 0.01, 14: 1000} {
		d, err := drawing.ReadDXF(dxf(unit, square(0, 0, 10)...), drawing.Options{})
		require.NoError(t, err)
		require.InDelta(t, size, d.Bounds.Size().X, 1e-9)
		require.InDelta(t, size, 10*d.Unit.MM, 1e-9)
	}
	body := `<rect width="10" height="10"/>`
	for size, want := range map[string]float64{
		``: 10 * 25.4 / 96, `width="100" height="100"`: 10 * 25.4 / 96, `width="100mm" height="100mm"`: 10 * 25.4 / 96,
		`width="100mm" height="100mm" viewBox="0 0 100 100"`: 10, `width="10cm" viewBox="0 0 100 100"`: 10,
		`width="2in" height="2in" viewBox="0 0 20 20"`: 25.4, `width="72pt" height="6pc" viewBox="0 0 10 10"`: 25.4,
		`width="400Q" height="100mm" viewBox="0 0 100 100"`: 10, `width="100%" height="100%" viewBox="0 0 100 100"`: 10 * 25.4 / 96,
		`width="96px" height="96px" viewBox="0 0 10 10"`: 25.4,
	} {
		d, err := drawing.ReadSVG(svgFile(size, body), drawing.Options{})
		require.NoError(t, err)
		require.InDelta(t, want, d.Bounds.Size().X, 1e-9, size)
	}
	d, err := drawing.ReadSVG(svgFile(`width="100" height="100"`, body), drawing.Options{Unit: drawing.Inch})
	require.NoError(t, err)
	require.InDelta(t, 254, d.Bounds.Size().X, 1e-9)
	require.InDelta(t, 2540, d.Bounds.Max.Y, 1e-9)
}

func rounded(b geom.Box2) geom.Box2 {
	f := func(p geom.Vec2) geom.Vec2 {
		return geom.Vec2{X: float64(int64(p.X*1e6+0.5)) / 1e6, Y: float64(int64(p.Y*1e6+0.5)) / 1e6}
	}
	return geom.Box2{Min: f(b.Min), Max: f(b.Max)}
}

// TestWriteRefusals: nothing is written where something is wrong.
func TestWriteRefusals(t *testing.T) {
	crossed, err := outline.New([]outline.Elem{
		{A: geom.Vec2{}, B: geom.Vec2{X: 10, Y: 10}}, {A: geom.Vec2{X: 10, Y: 10}, B: geom.Vec2{X: 10}},
		{A: geom.Vec2{X: 10}, B: geom.Vec2{Y: 10}}, {A: geom.Vec2{Y: 10}, B: geom.Vec2{}},
	})
	require.NoError(t, err)
	at := []geom.Vec2{{X: 1}}
	for want, s := range map[string]drawing.Sheet{
		"is empty":           {Layers: []drawing.Layer{{Name: "TRIM", Colour: 1}}},
		"letters A to Z":     {Layers: []drawing.Layer{{Name: "trim", Colour: 1, Points: at}}},
		"colour 0":           {Layers: []drawing.Layer{{Name: "TRIM", Points: at}}},
		"used twice":         {Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Points: at}, {Name: "TRIM", Colour: 1, Points: at}}},
		"layer of the notes": {Layers: []drawing.Layer{{Name: "NOTES", Colour: 1, Points: at}}},
		"crosses or touches": {Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Outlines: []*outline.Outline{crossed}}}},
		"circle 1":           {Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Circles: []drawing.Circle{{}}}}},
		"point 1":            {Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Points: []geom.Vec2{{X: 1e9}}}}},
		"height":             {Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Texts: []drawing.Text{{Text: "a"}}}}},
		"control characters": {Notes: []string{"a\nb"}, Layers: []drawing.Layer{{Name: "TRIM", Colour: 1, Points: at}}},
	} {
		var b bytes.Buffer
		require.ErrorContains(t, drawing.WriteDXF(&b, s), want)
		require.Zero(t, b.Len())
	}
}
