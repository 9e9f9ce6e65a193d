package drawing_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"platen/toolgen/drawing"
)

// repeat returns the DXF file with n entities by number.
func repeat(n int, f func(i int) string) []byte {
	var b bytes.Buffer
	b.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	for i := range n {
		b.WriteString(f(i))
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	return b.Bytes()
}

func lineText(x0, y0, x1, y1 float64) string {
	return fmt.Sprintf("0\nLINE\n8\n0\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", x0, y0, x1, y1)
}

func circleText(x, y, r float64) string {
	return fmt.Sprintf("0\nCIRCLE\n8\n0\n10\n%g\n20\n%g\n40\n%g\n", x, y, r)
}

// polyText is a closed polyline of n points.
func polyText(n int, f func(i int) (x, y float64)) []byte {
	return repeat(1, func(int) string {
		var b strings.Builder
		b.WriteString("0\nLWPOLYLINE\n8\n0\n70\n1\n")
		for i := range n {
			x, y := f(i)
			fmt.Fprintf(&b, "10\n%.6f\n20\n%.6f\n", x, y)
		}
		return b.String()
	})
}

// laugh is a file of blocks that each hold ten inserts of the one before.
func laugh(leaf string, deep int) []byte {
	var b strings.Builder
	b.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nB0\n10\n0\n20\n0\n" + leaf + "0\nENDBLK\n")
	for i := 1; i <= deep; i++ {
		fmt.Fprintf(&b, "0\nBLOCK\n2\nB%d\n10\n0\n20\n0\n", i)
		for k := range 10 {
			fmt.Fprintf(&b, "0\nINSERT\n2\nB%d\n10\n%d\n20\n0\n", i-1, k*20)
		}
		b.WriteString("0\nENDBLK\n")
	}
	fmt.Fprintf(&b, "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nINSERT\n2\nB%d\n10\n0\n20\n0\n0\nENDSEC\n0\nEOF\n", deep)
	return []byte(b.String())
}

func hostileDXF() map[string][]byte {
	sq := dxf(4, square(0, 0, 10)...)
	zero := func(i int) string { return lineText(5, 5, 5, 5) }
	m := map[string][]byte{
		"empty": {}, "one byte": {'0'}, "blanks": bytes.Repeat([]byte(" \n"), 1<<20), "zeros": bytes.Repeat([]byte("0\n"), 1<<20),
		"nul": make([]byte, 1<<20), "too long": bytes.Repeat([]byte("0\nLINE\n"), 2<<20), "no newline": bytes.Repeat([]byte("a"), 5<<20),
		"carriage returns": bytes.ReplaceAll(sq, []byte("\n"), []byte("\r")), "cut in a number": sq[:len(sq)/2], "cut before EOF": sq[:len(sq)-6],
		"comments":           append(bytes.Repeat([]byte("999\nx\n"), 1<<20), sq...),
		"sections":           bytes.Repeat([]byte("0\nSECTION\n2\nX\n0\nENDSEC\n"), 300_000),
		"nested sections":    bytes.Repeat([]byte("0\nSECTION\n2\nENTITIES\n"), 300_000),
		"entities":           repeat(1_000_000, func(int) string { return "0\nX\n" }),
		"lines in one place": repeat(200_000, func(int) string { return lineText(0, 0, 1, 0) }),
		"points as lines":    repeat(100_000, zero),
		"star": repeat(90_000, func(i int) string {
			a := float64(i) / 90_000 * 2 * math.Pi
			return lineText(0, 0, 50*math.Cos(a), 50*math.Sin(a))
		}),
		"loose lines": repeat(90_000, func(i int) string {
			return lineText(float64(i%300), float64(i/300), float64(i%300)+0.5, float64(i/300))
		}),
		"short loose lines":   repeat(90_000, func(i int) string { return lineText(float64(i)*0.007, 0, float64(i)*0.007+0.001, 0) }),
		"one row":             repeat(90_000, func(i int) string { return lineText(float64(i), 0, float64(i+1), 0) }),
		"circles in circles":  repeat(24_000, func(i int) string { return circleText(0, 0, 1+float64(i)) }),
		"9000 in circles":     repeat(9_000, func(i int) string { return circleText(0, 0, 1+float64(i)) }),
		"9000 in a row":       repeat(9_000, func(i int) string { return circleText(float64(i)*3, 0, 1) }),
		"24000 circles":       repeat(24_000, func(i int) string { return circleText(float64(i%160)*3, float64(i/160)*3, 1) }),
		"overlapping circles": repeat(9_000, func(i int) string { return circleText(float64(i%90), float64(i/90), 3) }),
		"same circles":        repeat(200_000, func(int) string { return circleText(0, 0, 3) }),
		"nearly same circles": repeat(9_000, func(i int) string { return circleText(0, 0, 3+float64(i)*1e-4) }),
		"99000 points": polyText(99_000, func(i int) (float64, float64) {
			a := float64(i) / 99_000 * 2 * math.Pi
			return 1000 * math.Cos(a), 1000 * math.Sin(a)
		}),
		"tall comb": polyText(60_000, func(i int) (float64, float64) { return []float64{0, 100, 100, 0}[i%4], float64(i/2) * 0.1 }),
		"slanted comb": polyText(60_000, func(i int) (float64, float64) {
			return []float64{0, 900, 900, 0}[i%4] + float64(i)*0.003, []float64{0, 900, 900, 0}[i%4] + float64(i/2)*0.01
		}),
		"scribble":            polyText(90_000, func(i int) (float64, float64) { return math.Sin(float64(i) * 1.7), math.Cos(float64(i) * 2.3) }),
		"1000000 points":      polyText(500_000, func(i int) (float64, float64) { return float64(i % 7), float64(i % 5) }),
		"points in one place": polyText(400_000, func(int) (float64, float64) { return 1, 1 }),
		"huge":                dxf(4, line(1e15, 1e15, -1e15, 1e15)), "huger": dxf(4, line(1e300, 1e300, 0, 0)), "huge radius": dxf(4, arc(0, 0, 1e14, 0, 1e-9)),
		"tiny radius": dxf(4, []any{"CIRCLE", 8, "0", 10, 0, 20, 0, 40, 1e-300}), "infinite": dxf(4, []any{"CIRCLE", 8, "0", 10, "Inf", 20, 0, 40, 1}),
		"hex": dxf(4, []any{"CIRCLE", 8, "0", 10, "0x1p9", 20, 0, 40, 1}), "bulges": dxf(4, []any{"LWPOLYLINE", 8, "0", 70, 1, 10, 0, 20, 0, 42, 1e4, 10, 1e-3, 20, 0, 42, -1e4}),
		"laughs": laugh(circleText(0, 0, 1), 8), "empty laughs": laugh("", 8), "deep laughs": laugh("", 40), "own block": bytes.ReplaceAll(laugh("0\nINSERT\n2\nB1\n10\n0\n20\n0\n", 1), []byte("B0"), []byte("B1")),
		"turns":        dxf(4, []any{"ARC", 8, "0", 10, 0, 20, 0, 40, 5, 50, -1e15, 51, 1e15}),
		"flat ellipse": dxf(4, []any{"ELLIPSE", 8, "0", 10, 0, 20, 0, 11, 1e4, 21, 0, 40, 1e-12}),
		"ellipses": repeat(50_000, func(i int) string {
			return fmt.Sprintf("0\nELLIPSE\n8\n0\n10\n%d\n20\n0\n11\n9e4\n21\n0\n40\n1e-3\n41\n0\n42\n6.283185\n", i)
		}),
		"spline of one place": dxf(4, []any{"SPLINE", 8, "0", 71, 1, 40, 0, 40, 0, 40, 1, 40, 1, 10, 0, 20, 0, 10, 0, 20, 0}),
		"spline knots":        dxf(4, []any{"SPLINE", 8, "0", 71, 2, 40, 5, 40, 4, 40, 3, 40, 2, 40, 1, 40, 0, 10, 0, 20, 0, 10, 0, 20, 5, 10, 5, 20, 5}),
		"spline weights":      dxf(4, []any{"SPLINE", 8, "0", 71, 1, 40, 0, 40, 0, 40, 1, 40, 1, 41, 0, 41, 0, 10, 0, 20, 0, 10, 5, 20, 0}),
		"spline degree":       dxf(4, []any{"SPLINE", 8, "0", 71, 1000000, 10, 0, 20, 0}),
		"layers":              repeat(100_000, func(i int) string { return fmt.Sprintf("0\nTEXT\n8\nL%d\n", i) }),
	}
	var wild strings.Builder
	for i := range 60_000 {
		fmt.Fprintf(&wild, "10\n%d\n20\n%d\n40\n%d\n", (i*7919)%1000, (i*104729)%1000, i)
	}
	for range 4 {
		wild.WriteString("40\n60001\n")
	}
	m["wild spline"] = repeat(1, func(int) string { return "0\nSPLINE\n8\n0\n71\n3\n" + wild.String() })
	return m
}

func hostileSVG() map[string][]byte {
	path := func(n int, head, step string) []byte {
		return svgFile("", `<path d="`+head+strings.Repeat(step, n)+`"/>`)
	}
	var zigzag strings.Builder
	for i := range 50_000 {
		fmt.Fprintf(&zigzag, "C%d %d %d %d %d %d ", (i*7919)%9999, (i*104729)%9999, (i*1299709)%9999, (i*15485863)%9999, (i*32452843)%9999, (i*49979687)%9999)
	}
	return map[string][]byte{
		"empty": {}, "text": []byte(strings.Repeat("hello ", 1<<20)), "open tag": []byte("<svg"), "cut off": svgFile("", `<path d="M0 0`)[:60],
		"laughs":  []byte(`<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]><svg>&b;</svg>`),
		"outside": []byte(`<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]><svg>&x;</svg>`),
		"deep":    []byte(strings.Repeat("<svg>", 1<<20)), "deep groups": svgFile("", strings.Repeat("<g>", 1<<20)),
		"groups": svgFile("", strings.Repeat("<g/>", 2<<20)), "attributes": svgFile("", "<g "+strings.Repeat(`a="" `, 1<<20)+"/>"),
		"skipped":    svgFile("", "<defs>"+strings.Repeat("<g>", 500_000)+strings.Repeat("</g>", 500_000)+"</defs>"),
		"many names": svgFile("", strings.Repeat(`<g id="a">`, 90)+strings.Repeat(`<text/>`, 100_000)+strings.Repeat("</g>", 90)),
		"moves":      path(1<<20, "", "M0 0"), "closes": path(1<<21, "M0 0", "z"), "same points": path(1<<21, "M0 0", "H0"),
		"far": path(1000, "M0 0", "l1e9 1e9"), "not a number": path(1, "M0 0", "LNaN 5"), "infinite": path(1, "M0 0", "L1e999 5"),
		"digits": path(1, "M0 0L", strings.Repeat("9", 5<<20)), "dots": path(1, "M", strings.Repeat(".", 1<<20)), "signs": path(1, "M", strings.Repeat("+", 1<<20)),
		"cusps": path(30_000, "M0 0", "c900 900-800 900 100 0"), "loops": path(30_000, "M0 0", "c90 90-90 90 0 0"), "wild": svgFile("", `<path d="M0 0`+zigzag.String()+`z"/>`),
		"arcs": path(100_000, "M0 0", "a5 1 30 0 1 1 1"), "flat arcs": path(100_000, "M0 0", "a900 1e-6 30 0 1 1 1"), "huge arcs": path(1, "M0 0", "a1e9 1e9 0 0 1 1 1z"),
		"transforms": svgFile("", `<g transform="`+strings.Repeat("scale(2)", 1<<20)+`"/>`), "growing": svgFile("", strings.Repeat(`<g transform="scale(1e9)">`, 90)+`<circle r="1"/>`+strings.Repeat("</g>", 90)),
		"shrinking": svgFile("", strings.Repeat(`<g transform="scale(1e-9)">`, 90)+`<circle r="1"/>`+strings.Repeat("</g>", 90)),
		"circles":   svgFile("", strings.Repeat(`<circle r="5"/>`, 190_000)), "polygon": svgFile("", `<polygon points="`+strings.Repeat("0 0 5 5 ", 1<<20)+`"/>`),
		"view": svgFile(`width="1e9mm" height="1e9mm" viewBox="0 0 1e-300 1e-300"`, `<circle r="1"/>`), "skew": svgFile("", `<g transform="skewX(90)"><circle r="1"/></g>`),
		"latin": []byte(`<?xml version="1.0" encoding="ISO-8859-1"?><svg>` + strings.Repeat("\xfc", 5<<20) + `</svg>`), "bad letters": svgFile("", "\xff\xfe"),
	}
}

// runaway is the time after which reading has run away: on an idle core every file below takes less than
// half a second.
const runaway = 10 * time.Second

// TestHostile: every file is refused or read, in bounded time and memory.
func TestHostile(t *testing.T) {
	dxfs, svgs := hostileDXF(), hostileSVG()
	require.Greater(t, len(dxfs)+len(svgs), 80)
	for name, data := range dxfs {
		t.Run("dxf "+name, func(t *testing.T) { bounded(t, data, drawing.ReadDXF) })
	}
	for name, data := range svgs {
		t.Run("svg "+name, func(t *testing.T) { bounded(t, data, drawing.ReadSVG) })
	}
}

func bounded(t *testing.T, data []byte, read func([]byte, drawing.Options) (*drawing.Drawing, error)) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	d, err := read(data, drawing.Options{})
	took := time.Since(start)
	runtime.ReadMemStats(&after)
	held(t, d, err)
	t.Logf("%d bytes, %v, %d MB", len(data), took.Round(time.Millisecond), (after.TotalAlloc-before.TotalAlloc)>>20)
	require.Less(t, took, runaway)
	require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(512<<20))
	if err != nil {
		require.Less(t, len(err.Error()), 20_000)
	}
}

// held checks what every answer must be: a refusal with places, or a simple outline that matches its loops.
func held(t *testing.T, d *drawing.Drawing, err error) {
	t.Helper()
	if err != nil {
		require.Nil(t, d)
		var r *drawing.Refusal
		require.True(t, errors.As(err, &r), "%T", err)
		require.NotEmpty(t, r.Faults)
		require.LessOrEqual(t, len(r.Faults), 20)
		for _, f := range r.Faults {
			require.NotEmpty(t, f.Text)
			require.False(t, strings.ContainsAny(f.String(), "\x00\x07\x1b\r\n"), "%q", f.String())
		}
		return
	}
	require.Len(t, d.Loops, len(d.Outline.Loops))
	require.Greater(t, d.Outline.Area(), 0.0)
	require.Positive(t, d.Unit.MM)
	for _, l := range d.Loops {
		require.Positive(t, l.Place.Line)
	}
}
