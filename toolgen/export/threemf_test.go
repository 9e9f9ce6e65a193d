package export_test

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/export"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
)

const coreSpace = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"

// model is the 3MF core schema as far as a reader of one mesh needs it.
type model struct {
	XMLName  xml.Name `xml:"http://schemas.microsoft.com/3dmanufacturing/core/2015/02 model"`
	Unit     string   `xml:"unit,attr"`
	Metadata []struct {
		Name  string `xml:"name,attr"`
		Value string `xml:",chardata"`
	} `xml:"metadata"`
	Objects []struct {
		ID       string `xml:"id,attr"`
		Type     string `xml:"type,attr"`
		Name     string `xml:"name,attr"`
		Vertices []struct {
			X string `xml:"x,attr"`
			Y string `xml:"y,attr"`
			Z string `xml:"z,attr"`
		} `xml:"mesh>vertices>vertex"`
		Triangles []struct {
			V1 int32 `xml:"v1,attr"`
			V2 int32 `xml:"v2,attr"`
			V3 int32 `xml:"v3,attr"`
		} `xml:"mesh>triangles>triangle"`
	} `xml:"resources>object"`
	Items []struct {
		Object    string  `xml:"objectid,attr"`
		Transform *string `xml:"transform,attr"`
	} `xml:"build>item"`
}

// parts unpacks the container, checks what the specification asks of it and returns its parts.
func parts(t *testing.T, b []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	require.NoError(t, err)
	out := map[string][]byte{}
	for _, f := range z.File {
		require.Contains(t, []uint16{zip.Store, zip.Deflate}, f.Method)
		require.NotContains(t, out, f.Name)
		r, err := f.Open()
		require.NoError(t, err)
		out[f.Name], err = io.ReadAll(r)
		require.NoError(t, err)
		require.NoError(t, wellFormed(out[f.Name]), f.Name)
	}
	return out
}

// wellFormed reads all tokens strictly and refuses a document type.
func wellFormed(b []byte) error {
	d := xml.NewDecoder(bytes.NewReader(b))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if _, bad := tok.(xml.Directive); bad {
			return io.ErrUnexpectedEOF
		}
	}
}

func readModel(t *testing.T, b []byte) (model, *mesh.Mesh) {
	t.Helper()
	ps := parts(t, b)
	require.Len(t, ps, 3)

	var types struct {
		Default []struct {
			Extension   string `xml:"Extension,attr"`
			ContentType string `xml:"ContentType,attr"`
		} `xml:"http://schemas.openxmlformats.org/package/2006/content-types Default"`
	}
	require.NoError(t, xml.Unmarshal(ps["[Content_Types].xml"], &types))
	require.Len(t, types.Default, 2)
	require.Equal(t, "rels", types.Default[0].Extension)
	require.Equal(t, "application/vnd.openxmlformats-package.relationships+xml", types.Default[0].ContentType)
	require.Equal(t, "model", types.Default[1].Extension)
	require.Equal(t, "application/vnd.ms-package.3dmanufacturing-3dmodel+xml", types.Default[1].ContentType)

	var rels struct {
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"http://schemas.openxmlformats.org/package/2006/relationships Relationship"`
	}
	require.NoError(t, xml.Unmarshal(ps["_rels/.rels"], &rels))
	require.Len(t, rels.Relationship, 1)
	require.NotEmpty(t, rels.Relationship[0].ID)
	require.Equal(t, "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel", rels.Relationship[0].Type)
	start, ok := ps[strings.TrimPrefix(rels.Relationship[0].Target, "/")]
	require.True(t, ok, "the start part is missing")

	var x model
	require.NoError(t, xml.Unmarshal(start, &x))
	require.Equal(t, coreSpace, x.XMLName.Space)
	require.Equal(t, "millimeter", x.Unit)
	require.Len(t, x.Objects, 1)
	require.Equal(t, "model", x.Objects[0].Type)
	require.Len(t, x.Items, 1)
	require.Equal(t, x.Objects[0].ID, x.Items[0].Object)
	require.Nil(t, x.Items[0].Transform, "identity is the absence of a transform")

	m := &mesh.Mesh{}
	for _, v := range x.Objects[0].Vertices {
		var p [3]float64
		for i, s := range []string{v.X, v.Y, v.Z} {
			require.NotContains(t, s, "e")
			require.NotEqual(t, "-0", s)
			var err error
			p[i], err = strconv.ParseFloat(s, 64)
			require.NoError(t, err)
		}
		m.V = append(m.V, geom.Vec3{X: p[0], Y: p[1], Z: p[2]})
	}
	for _, f := range x.Objects[0].Triangles {
		m.T = append(m.T, [3]int32{f.V1, f.V2, f.V3})
	}
	return x, m
}

func TestThreeMFRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	rough := ball(geom.Vec3{X: -3, Y: 5}, 70, 20)
	for i := range rough.V {
		rough.V[i].X += rng.NormFloat64() // off the grid
	}
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
	}{
		{"box", box(geom.Vec3{X: -60, Y: -40.5, Z: 0}, geom.Vec3{X: 60, Y: 40.5, Z: 30 + 1.0/16384})},
		{"ball", ball(geom.Vec3{X: 1, Y: 2, Z: 3}, 25, 30)},
		{"far ball", ball(geom.Vec3{X: 2500, Y: -2500}, 300, 30)},
		{"off the grid", rough},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, export.ThreeMF(&b, c.m, export.Meta{Title: "tray"}))
			_, got := readModel(t, b.Bytes())
			require.Equal(t, c.m.V, got.V)
			require.Equal(t, c.m.T, got.T)
			require.Positive(t, volume(got))
		})
	}
}

func TestThreeMFMetadata(t *testing.T) {
	for _, c := range []struct {
		name      string
		meta      export.Meta
		want      [][2]string
		wantTitle string
	}{
		{"none", export.Meta{}, nil, ""},
		{"all", export.Meta{Title: "tray", Application: "a 1.2", Description: "datum base"},
			[][2]string{{"Title", "tray"}, {"Application", "a 1.2"}, {"Description", "datum base"}}, "tray"},
		{"markup", export.Meta{Title: `</metadata><x a="1">&amp; 'q'`, Description: "line\nbreak ]]>"},
			[][2]string{{"Title", `</metadata><x a="1">&amp; 'q'`}, {"Description", "line\nbreak ]]>"}},
			`</metadata><x a="1">&amp; 'q'`},
		{"what XML can not hold", export.Meta{Title: "a\x00b\xffc"}, [][2]string{{"Title", "a\ufffdb\ufffdc"}}, "a\ufffdb\ufffdc"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, export.ThreeMF(&b, box(geom.Vec3{}, geom.Vec3{X: 1, Y: 1, Z: 1}), c.meta))
			x, _ := readModel(t, b.Bytes())
			var got [][2]string
			for _, d := range x.Metadata {
				got = append(got, [2]string{d.Name, d.Value})
			}
			require.Equal(t, c.want, got)
			require.Equal(t, c.wantTitle, x.Objects[0].Name)
		})
	}
}

func TestThreeMFDecimals(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{
		{0, "0"},
		{math.Copysign(0, -1), "0"},
		{1, "1"},
		{-120, "-120"},
		{0.5, "0.5"},
		{-0.5, "-0.5"},
		{1.0 / 16384, "0.00006103515625"},
		{-1.0 / 16384, "-0.00006103515625"},
		{1023 + 16383.0/16384, "1023.99993896484375"},
		{2.25, "2.25"},
		{0.1, "0.1"},
		{1e-9, "0.000000001"},
		{3e12, "3000000000000"},
		{3e20, "300000000000000000000"},
	} {
		m := box(geom.Vec3{X: c.x}, geom.Vec3{X: c.x + 1e21, Y: 1, Z: 1})
		var b bytes.Buffer
		require.NoError(t, export.ThreeMF(&b, m, export.Meta{}))
		require.Contains(t, string(parts(t, b.Bytes())["3D/3dmodel.model"]), `<vertex x="`+c.want+`" y="0" z="0"/>`)
	}
}

func TestThreeMFSameBytes(t *testing.T) {
	m := ball(geom.Vec3{X: 1, Y: 2, Z: 3}, 25, 30)
	meta := export.Meta{Title: "tray", Application: "a 1.2", Description: "datum base"}
	var first bytes.Buffer
	require.NoError(t, export.ThreeMF(&first, m, meta))
	for range 3 {
		var again bytes.Buffer
		require.NoError(t, export.ThreeMF(&again, m, meta))
		require.Equal(t, first.Bytes(), again.Bytes())
	}
}

func TestThreeMFRefuses(t *testing.T) {
	m := box(geom.Vec3{}, geom.Vec3{X: 1, Y: 1, Z: 1})
	m.V[3].Z = math.NaN()
	var b bytes.Buffer
	require.ErrorContains(t, export.ThreeMF(&b, m, export.Meta{}), "3mf: vertex 3 is not finite")
	require.Zero(t, b.Len())
}

func BenchmarkThreeMF(b *testing.B) {
	m := ball(geom.Vec3{}, 200, 500) // a million triangles
	size := 0
	for b.Loop() {
		var c counter
		require.NoError(b, export.ThreeMF(&c, m, export.Meta{Title: "ball"}))
		size = int(c)
	}
	b.ReportMetric(float64(len(m.T)), "triangles")
	b.ReportMetric(float64(size), "file-bytes")
}

type counter int

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}
