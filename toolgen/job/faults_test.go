package job_test

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// firstLines returns place and text of every fault, as printed but without excerpts.
func firstLines(t testing.TB, err error) []string {
	t.Helper()
	var ref *job.Refusal
	require.True(t, errors.As(err, &ref), "a refusal, not %v", err)
	var out []string
	for _, f := range ref.Faults {
		f.Excerpt, f.Allowed = "", ""
		out = append(out, f.String())
	}
	return out
}

const top = "format: 1\nname: n\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a}\npart: {outline: {circle: 80}}\n"

func TestFaults(t *testing.T) {
	pocket := top + "features:\n  - kind: pocket\n    outline: {circle: 30}\n    depth: 20\n"
	tests := []struct {
		name, text string
		want       []string
	}{
		{"unknown key", pocket + "    drfat: 3\n", []string{`j.yaml:10:5: unknown key "drfat" in pocket 1; did you mean "draft"?`}},
		{"unknown key, case and hyphen", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-a, gauge: 1, Least-Wall: 0.3}\n", 1), []string{`j.yaml:3:38: unknown key "Least-Wall" in sheet; did you mean "least_wall"?`}},
		{"unknown key at the top", top + "fetures: []\n", []string{`j.yaml:6:1: unknown key "fetures"; did you mean "features"?`}},
		{"unknown key far from all", top + "colour: red\n", []string{`j.yaml:6:1: unknown key "colour"`}},
		{"duplicate key", pocket + "    depth: 21\n", []string{`j.yaml:10:5: key "depth" in pocket 1 is given twice, first on line 9`}},
		{"duplicate key quoted", pocket + "    \"depth\": 21\n", []string{`j.yaml:10:5: key "depth" in pocket 1 is given twice, first on line 9`}},
		{"missing keys", "format: 1\nname: n\nsheet: {gauge: 1}\ntool: {material: board-a}\n", []string{
			`j.yaml:1:1: missing key "part"`,
			`j.yaml:3:1: missing key "material" in sheet`,
		}},
		{"all missing", "units: mm\n", []string{
			`j.yaml:1:1: missing key "format"`,
			`j.yaml:1:1: missing key "name"`,
			`j.yaml:1:1: missing key "sheet"`,
			`j.yaml:1:1: missing key "tool"`,
			`j.yaml:1:1: missing key "part"`,
		}},
		{"key without value", pocket + "    draft:\n", []string{`j.yaml:10:5: key "draft" in pocket 1 has no value`}},
		{"key with null", pocket + "    draft: ~\n", []string{`j.yaml:10:5: key "draft" in pocket 1 has no value`}},
		{"section without value", strings.Replace(top, "tool: {material: board-a}\n", "tool:\n", 1), []string{`j.yaml:4:1: key "tool" has no value`}},
		{"list for a value", pocket + "    draft: [3]\n", []string{`j.yaml:10:12: "draft" in pocket 1: takes one value, not a list`}},
		{"keys for a value", pocket + "    draft: {a: 3}\n", []string{`j.yaml:10:12: "draft" in pocket 1: takes one value, not keys and values`}},
		{"value for a section", strings.Replace(top, "tool: {material: board-a}\n", "tool: board-a\n", 1), []string{`j.yaml:4:7: tool takes keys and values, not "board-a"`}},
		{"value for a list", top + "features: pocket\n", []string{`j.yaml:6:11: "features" takes a list, not "pocket"`}},
		{"list at the top", "- a\n- b\n", []string{`j.yaml:1:1: a job file takes keys and values, not a list`}},
		{"text at the top", "hello\n", []string{`j.yaml:1:1: a job file takes keys and values, not "hello"`}},
		{"column in characters", strings.Replace(top, "tool: {material: board-a}\n", "tool: {material: \"ž€😀\", öl: 3}\n", 1), []string{
			`j.yaml:4:18: "material" in tool: unknown name "ž€😀"`,
			`j.yaml:4:25: unknown key "öl" in tool`,
		}},
		{"unknown name", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheat-a, gauge: 1}\n", 1), []string{`j.yaml:3:19: "material" in sheet: unknown name "sheat-a"; did you mean "sheet-a"?`}},
		{"unknown name with two as near", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-c, gauge: 1}\n", 1), []string{`j.yaml:3:19: "material" in sheet: unknown name "sheet-c"`}},
		{"unknown kind", top + "features:\n  - kind: poket\n    depth: 3\n", []string{`j.yaml:7:11: unknown kind of feature "poket"; did you mean "pocket"?`}},
		{"missing kind", top + "features:\n  - depth: 3\n", []string{`j.yaml:7:5: missing key "kind" in feature 1`}},
		{"feature is a word", top + "features:\n  - pocket\n", []string{`j.yaml:7:5: a feature takes keys and values, not "pocket"`}},
		{"out of range", pocket + "    draft: 46\n", []string{`j.yaml:10:12: "draft" in pocket 1: 46 is out of range`}},
		{"out of range in inches", strings.Replace(pocket, "name: n\n", "name: n\nunits: inch\n", 1), []string{
			`j.yaml:4:35: "gauge" in sheet: 1 (25.4 mm) is out of range`,
			`j.yaml:10:12: "depth" in pocket 1: 20 (508 mm) is out of range`,
		}},
		{"too long", pocket + "    at: [0, 10001]\n", []string{`j.yaml:10:13: "at" in pocket 1: 10001 mm is longer than 10 m`}},
		{"too fine", top + "features:\n  - kind: pocket\n    outline: {circle: 0.0005}\n    depth: 20\n", []string{`j.yaml:8:23: "circle" in outline of pocket 1: 0.0005 mm is out of range`}},
		{"name taken", pocket + "    name: a\n  - {kind: boss, diameter: 4, height: 2, name: a}\n", []string{`j.yaml:11:42: name "a" of a feature is taken, on line 10`}},
		{"name with slash", pocket + "    name: a/b\n", []string{`j.yaml:10:5: name "a/b" of a feature: / parts the names of nested features and can not stand in one`}},
		{"empty name", pocket + "    name: \"\"\n", []string{`j.yaml:10:11: "name" in pocket 1: empty text`}},
		{"no such feature", "format: 1\nname: n\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a, vents: {keep_clear: [lefd]}}\npart: {outline: {circle: 80}}\nfeatures:\n  - {kind: boss, diameter: 4, height: 2, name: left}\n", []string{`j.yaml:4:48: "keep_clear" in tool.vents: no feature is named "lefd"; did you mean "left"?`}},
		{"outline of two shapes", top + "features:\n  - kind: pocket\n    outline: {circle: 30, rect: [1, 2]}\n    depth: 20\n", []string{`j.yaml:8:15: outline of pocket 1 has both rect and circle; one outline has one shape`}},
		{"outline of none", top + "features:\n  - kind: pocket\n    outline: {corner: 3}\n    depth: 20\n", []string{`j.yaml:8:14: outline of pocket 1 has no shape`}},
		{"corner of a circle", top + "features:\n  - kind: pocket\n    outline: {circle: 30, corner: 3}\n    depth: 20\n", []string{`j.yaml:8:27: "corner" in outline of pocket 1: a circle has no corners`}},
		{"corner too large", top + "features:\n  - kind: pocket\n    outline: {rect: [30, 20], corner: 10.5}\n    depth: 20\n", []string{`j.yaml:8:31: "corner" in outline of pocket 1: radius 10.5 mm is over half the shorter side; 10 mm at most`}},
		{"layer of a circle", top + "features:\n  - kind: pocket\n    outline: {circle: 30, layer: EDGE}\n    depth: 20\n", []string{`j.yaml:8:27: "layer" in outline of pocket 1: it goes with dxf or svg, a circle has none`}},
		{"drawing of two formats", top + "features:\n  - kind: pocket\n    outline: {dxf: a.dxf, svg: a.svg}\n    depth: 20\n", []string{`j.yaml:8:27: outline of pocket 1 has both dxf and svg; one outline has one shape`}},
		{"drawing in another unit", top + "features:\n  - kind: pocket\n    outline: {dxf: a.dxf, unit: foot}\n    depth: 20\n", []string{`j.yaml:8:33: "unit" in outline of pocket 1: unknown name "foot"`}},
		{"polygon of two", top + "features:\n  - kind: pocket\n    outline: {polygon: [[0, 0], [1, 1]]}\n    depth: 20\n", []string{`j.yaml:8:24: "polygon" in outline of pocket 1: a list of 2 entries; at least 3`}},
		{"point of three", pocket + "    at: [1, 2, 3]\n", []string{`j.yaml:10:9: "at" in pocket 1: takes two lengths, not 3`}},
		{"repeat of both", pocket + "    repeat: {grid: [2, 2], pitch: [1, 1], points: [[0, 0]]}\n", []string{`j.yaml:10:5: "repeat" in pocket 1 takes either grid with pitch or points`}},
		{"repeat of none", pocket + "    repeat: {pitch: [1, 1]}\n", []string{`j.yaml:10:5: "repeat" in pocket 1 takes either grid with pitch or points`}},
		{"grid without pitch", pocket + "    repeat: {grid: [2, 2]}\n", []string{`j.yaml:10:5: missing key "pitch" in repeat of pocket 1: a grid has a pitch`}},
		{"grid of no pitch", pocket + "    repeat: {grid: [2, 1], pitch: [0, 5]}\n", []string{`j.yaml:10:28: pitch 0 in repeat of pocket 1 lays one place on the other`}},
		{"grid of none", pocket + "    repeat: {grid: [0, 1], pitch: [5, 5]}\n", []string{`j.yaml:10:21: "grid" in repeat of pocket 1: 0 is out of range`}},
		{"points twice", pocket + "    repeat: {points: [[0, 0], [5, 0], [0, 0]]}\n", []string{`j.yaml:10:39: place 3 in repeat of pocket 1 lies on place 1`}},
		{"too many places", pocket + "    repeat: {grid: [200, 101], pitch: [5, 5]}\n", []string{`j.yaml:10:5: more than 20000 features, every place of a repeat counted`}},
		{"too many places nested", pocket + "    repeat: {grid: [200, 50], pitch: [5, 5]}\n    features:\n      - {kind: boss, diameter: 4, height: 2, repeat: {points: [[0, 0], [3, 3]]}}\n", []string{`j.yaml:12:46: more than 20000 features, every place of a repeat counted`}},
		{"default out of range of a kind", top + "defaults: {edge: 30}\nfeatures:\n  - kind: pocket\n    outline: {circle: 30}\n    depth: 20\n", []string{`j.yaml:6:12: "edge" in defaults, 30 mm, is out of range for "edge" in pocket 1`}},
		{"another format", "format: 2\nname: n\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a}\npart: {outline: {circle: 80}}\ncolour: red\n", []string{`j.yaml:1:9: "format": 2 is out of range`}},
		{"shrink without reason", top + "shrink: {x: 0.5}\n", []string{`j.yaml:6:10: "x" in shrink takes the place of the table; missing key "reason" says why`}},
		{"shrink off and on", top + "shrink: {x: 0.5, off: true, reason: r}\n", []string{`j.yaml:6:10: "x" in shrink stands beside off: true; keep one`}},
		{"limit twice", top + "limits:\n  - {rule: vent.too-few, limit: 2, reason: r}\n  - {rule: vent.too-few, limit: 3, reason: r}\n", []string{`j.yaml:8:6: rule "vent.too-few" has two limits, the first on line 7`}},
		{"limit of no rule", top + "limits:\n  - {rule: vent.too-fw, limit: 2, reason: r}\n", []string{`j.yaml:7:12: "rule" in limits: unknown name "vent.too-fw"; did you mean "vent.too-few"?`}},
		{"sorted", pocket + "    drafd: 1\ntol: {}\n", []string{
			`j.yaml:10:5: unknown key "drafd" in pocket 1; did you mean "draft"?`,
			`j.yaml:11:1: unknown key "tol"; did you mean "tool"?`,
		}},
		{"anchor", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-a, gauge: &g 1}\n", 1), []string{`j.yaml:3:35: a job file has no anchors (&); write the values out where they are used`}},
		{"alias", "format: 1\nname: n\nsheet: {material: sheet-a, gauge: &g 1}\ntool: {material: board-a}\npart: {outline: {circle: *g}}\n", []string{
			`j.yaml:3:35: a job file has no anchors (&); write the values out where they are used`,
			`j.yaml:5:26: a job file has no aliases (*); write the values out where they are used`,
		}},
		{"unknown alias", "format: 1\nname: n\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a}\npart: {outline: {circle: *gauge}}\n", []string{`j.yaml:5:26: a job file has no aliases (*); write the values out where they are used`}},
		{"merge key", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-a, gauge: 1, <<: {a: 1}}\n", 1), []string{`j.yaml:3:38: a job file has no merge keys (<<); write the values out where they are used`}},
		{"tag", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-a, gauge: !!float 1}\n", 1), []string{`j.yaml:3:35: a job file has no tags (!); the key says what its value is`}},
		{"bare tag", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-a, gauge: ! 1}\n", 1), []string{`j.yaml:3:35: a job file has no tags (!); the key says what its value is`}},
		{"bare tag on quotes", strings.Replace(top, "name: n\n", "name: ! \"n\"\n", 1), []string{`j.yaml:2:7: a job file has no tags (!); the key says what its value is`}},
		{"bare tag on a list", strings.Replace(top, "name: n\n", "name: ! [n]\n", 1), []string{`j.yaml:2:7: a job file has no tags (!); the key says what its value is`}},
		{"tag on the first key", top + "shrink:\n  ! off: true\n", []string{`j.yaml:7:3: a job file has no tags (!); the key says what its value is`}},
		{"anchor on an empty value", strings.Replace(top, "name: n\n", "name: &n\n", 1), []string{`j.yaml:2:7: a job file has no anchors (&); write the values out where they are used`}},
		{"alias as a key", top + "*n : 1\n", []string{`j.yaml:6:1: a job file has no aliases (*); write the values out where they are used`}},
		{"own tag", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-a, gauge: !length 1}\n", 1), []string{`j.yaml:3:35: a job file has no tags (!); the key says what its value is`}},
		{"undefined tag handle", strings.Replace(top, "sheet: {material: sheet-a, gauge: 1}\n", "sheet: {material: sheet-a, gauge: !u!length 1}\n", 1), []string{`j.yaml:3:38: a job file has no tags (!); the key says what its value is`}},
		{"tag on keys", strings.Replace(top, "tool: {material: board-a}\n", "tool: !!map {material: board-a}\n", 1), []string{`j.yaml:4:7: a job file has no tags (!); the key says what its value is`}},
		{"second document", top + "---\nformat: 1\n", []string{`j.yaml:6:1: a second document begins here; a job file is one document`}},
		{"second document, empty", top + "---\n", []string{`j.yaml:6:1: a second document begins here; a job file is one document`}},
		{"directive", strings.Replace(top, "format: 1\n", "%FOO 1.1\n---\nformat: 1\n", 1), []string{`j.yaml:1:1: a job file has no directives (%)`}},
		{"key of a list", top + "[a]: 3\n", []string{`j.yaml:6:1: a key is one word, not a list`}},
		{"complex key", top + "? {a: 1}\n: 3\n", []string{`j.yaml:6:3: a key is one word, not keys and values`}},
		{"empty file", "", []string{`j.yaml:1:1: the file is empty`}},
		{"only comments", "# nothing\n\n", []string{`j.yaml:1:1: the file is empty`}},
		{"colon in text", strings.Replace(top, "name: n\n", "name: tray: left\n", 1), []string{`j.yaml:2:11: ": " where no key can stand; check the indentation, or put text with a colon in quotes`}},
		{"indented too far", strings.Replace(top, "name: n\n", "name: n\n  revision: A\n", 1), []string{`j.yaml:3:11: ": " where no key can stand; check the indentation, or put text with a colon in quotes`}},
		{"indented too little", top + "features:\n  - kind: pocket\n    depth: 20\n   outline: {circle: 30}\n", []string{`j.yaml:9:4: this does not fit the list above; check indentation and "- "`}},
		{"tab for indentation", top + "features:\n\t- kind: pocket\n", []string{`j.yaml:7:1: a tab; indent with spaces`}},
		{"tab in a section", top + "shrink:\n\tbasis: auto\n", []string{`j.yaml:7:1: a tab; indent with spaces`}},
		{"bracket not closed", top + "features:\n  - kind: pocket\n    outline: {circle: 30\n    depth: 20\n", []string{`j.yaml:9:10: "}" or a comma is missing before this; "{" was opened on line 8`}},
		{"list not closed", pocket + "    at: [1, 2\n    draft: 3\n", []string{`j.yaml:11:10: "]" or a comma is missing before this; "[" was opened on line 10`}},
		{"comma missing", pocket + "    repeat: {points: [[0, 0] [1, 1]]}\n", []string{`j.yaml:10:30: "]" or a comma is missing before this`}},
		{"two commas", pocket + "    at: [1,, 2]\n", []string{`j.yaml:10:12: a value is missing here`}},
		{"quotes not closed", pocket + "    name: \"left\n", []string{`j.yaml:10:11: quotes are opened here and never closed`}},
		{"quotes not closed at the top", "name: \"left\n", []string{`j.yaml:1:7: quotes are opened here and never closed`}},
		{"no space after the colon", strings.Replace(top, "name: n\n", "name:n\n", 1), []string{`j.yaml:2:6: this is no key with a value; write "key: value" with a space after the colon`}},
		{"not a key", top + "surplus\n", []string{`j.yaml:6:1: this is no key with a value; write "key: value" with a space after the colon`}},
		{"list on the line of its key", top + "features: - kind: pocket\n", []string{`j.yaml:6:11: a list in this form begins on the line below its key`}},
		{"text after quotes", strings.Replace(top, "name: n\n", "name: \"n\" x\n", 1), []string{`j.yaml:2:11: this does not fit the keys above; check indentation and quotes`}},
		{"quotes in quotes", strings.Replace(top, "name: n\n", "name: 'it's'\n", 1), []string{`j.yaml:2:11: this does not fit the keys above; check indentation and quotes`}},
		{"unknown escape", strings.Replace(top, "name: n\n", "name: \"a\\q\"\n", 1), []string{`j.yaml:2:9: unknown escape in a text in double quotes; write \\ for a backslash`}},
		{"value begins with percent", strings.Replace(top, "name: n\n", "name: %n\n", 1), []string{`j.yaml:2:7: a value can not begin with this character; put it in quotes`}},
		{"value begins with at", strings.Replace(top, "name: n\n", "name: @n\n", 1), []string{`j.yaml:2:7: a value can not begin with this character; put it in quotes`}},
		{"value begins with star", strings.Replace(top, "name: n\n", "name: * n\n", 1), []string{`j.yaml:2:7: a value can not begin with & or *; put it in quotes`}},
		{"list among keys", top + "- a\n", []string{`j.yaml:6:1: this does not fit the keys above; check indentation and quotes`}},
		{"not UTF-8", strings.Replace(top, "name: n\n", "name: a\xff\n", 1), []string{`j.yaml:2:8: byte 0xff is not UTF-8 text`}},
		{"control character", strings.Replace(top, "name: n\n", "name: a\x07\n", 1), []string{`j.yaml:2:8: character U+0007 has no place in a job file`}},
		{"control character by escape", strings.Replace(top, "name: n\n", "name: \"a\\u0007\"\n", 1), []string{`j.yaml:2:7: "name": control character U+0007 in a text`}},
		{"direction mark", strings.Replace(top, "name: n\n", "name: a\u202eb\n", 1), []string{`j.yaml:2:7: "name": control character U+202E in a text`}},
		{"line separator", "format: 1\nname: a\u2028b\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a}\npart: {outline: {circle: 80}}\n", []string{`j.yaml:2:8: character U+2028 has no place in a job file`}},
		{"carriage return", "format: 1\nname: a\rb\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a}\npart: {outline: {circle: 80}}\n", []string{`j.yaml:2:8: a carriage return within a line; lines end with LF or CR LF`}},
		{"several lines", strings.Replace(top, "name: n\n", "name: |\n  a\n  b\n", 1), []string{`j.yaml:2:7: "name": text of several lines`}},
		{"long text", "format: 1\nname: nnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnn\nsheet: {material: sheet-a, gauge: 1}\ntool: {material: board-a}\npart: {outline: {circle: 80}}\n", []string{`j.yaml:2:7: "name": text of 501 characters; at most 500`}},
		{"carriage returns counted as one line end", "format: 1\r\nname: n\r\nsheet: {material: sheet-a, gauge: 1}\r\ntool: {material: board-a}\r\npart: {outline: {circle: 80}}\r\ncolour: red\r\n", []string{`j.yaml:6:1: unknown key "colour"`}},
		{"byte order mark", strings.Replace(top, "format: 1\n", "\ufeffcolour: red\nformat: 1\n", 1), []string{`j.yaml:1:1: unknown key "colour"`}},
		{"byte order mark inside", strings.Replace(top, "name: n\n", "name: a\ufeff\n", 1), []string{`j.yaml:2:8: character U+FEFF has no place in a job file`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := job.Read([]byte(tt.text), "j.yaml", kinds(), names)
			require.Equal(t, tt.want, firstLines(t, err))
		})
	}
}

// TestPrintedRefusal pins the whole text a person reads.
func TestPrintedRefusal(t *testing.T) {
	text := head + `  - kind: pocket
    name: left
    outline: {rect: [60, 40], corner: 25}
    dpeth: 22
    draft: 5°
  - {kind: boss, name: left, diameter: 1/2 in, height: 3, shade: drak, open: yes} # a long line of the file, cut round the place
  - kind: pip
`
	_, err := job.Read([]byte(text), "tray.yaml", kinds(), names)
	require.Error(t, err)
	file := filepath.Join("testdata", "refusal.golden")
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, []byte(err.Error()+"\n"), 0o644))
	}
	want, ferr := os.ReadFile(file)
	require.NoError(t, ferr)
	require.Equal(t, string(want), err.Error()+"\n")
}

func TestRefusalIsBounded(t *testing.T) {
	text := top + "features:\n" + strings.Repeat("  - {kind: boss, nothing: 1}\n", 20000)
	_, err := job.Read([]byte(text), "j.yaml", kinds(), names)
	var ref *job.Refusal
	require.ErrorAs(t, err, &ref)
	require.Len(t, ref.Faults, 50)
	require.Equal(t, 3*20000-50, ref.More) // one unknown and two missing keys each
	require.Equal(t, 7, ref.Faults[0].Pos.Line)
	require.Equal(t, 23, ref.Faults[49].Pos.Line)
	require.True(t, strings.HasSuffix(err.Error(), "\nand 59950 more, not shown"))
	require.Less(t, len(err.Error()), 20000)
}
