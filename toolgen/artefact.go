package toolgen

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"platen/toolgen/export"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/render"
	"platen/toolgen/vent"
)

// Artefact is one file of a build.
type Artefact struct {
	Name  string
	Write func(io.Writer) error
}

// artefact declares a file, what it needs, and how it is written.
type artefact struct {
	name  string
	needs need
	text  string
	write func(*Result, io.Writer) error
}

// need is what a file is made from beside the review.
type need uint8

const (
	nothing   need = 0
	toolMesh  need = 1 << iota // the mesh of the tool
	formed                     // the formed sheet
	partShell                  // the shell of the formed part
	holes                      // holes to be punched
	stacked                    // the formed part on its like
	told                       // the formed sheet tells it more, but it is made without too
	folded                     // the part folded shut
)

// artefacts is the list of files a job makes.
var artefacts = []artefact{
	{"tool.stl", toolMesh, "tool body, binary STL, mm", writeSTL},
	{"tool.3mf", toolMesh, "tool body, 3MF core, mm", writeThreeMF},
	{"drills.csv", told, "hole list", writeDrills},
	{"tool.png", toolMesh | told, "picture of the tool with its vents", writePicture},
	{"part.stl", formed | partShell, "formed part, cold, part frame, binary STL, mm", writePartSTL},
	{"part.3mf", formed | partShell, "formed part, cold, part frame, 3MF core, mm", writePartThreeMF},
	{"thickness.png", formed | partShell, "picture of the formed part by its wall", writeThickness},
	{stackName, formed | stacked, "how the formed parts nest and stack", writeStack},
	{"stack.png", formed | partShell | stacked, "sections of nested and stacked parts where they first touch", writeSections},
	{"close.json", formed | folded, "how a hinged pack closes", writeClose},
	{"close.png", formed | folded, "sections of a hinged pack folded shut, through its snaps", writeClosed},
	{"sheet.json", formed, "walls of the formed sheet by feature, and along sections", writeSheet},
	{"trim.dxf", nothing, "trim line and holes of the cold part, DXF R12, mm", writeTrim},
	{punchName, holes, "holes to punch in the cold part", writePunch},
	{"findings.json", told, "what the review found", writeFindings},
}

// Names returns the names of all files a build can make.
func Names() []string {
	names := make([]string, len(artefacts))
	for i, a := range artefacts {
		names[i] = a.name
	}
	return names
}

// NeedsSheet reports whether a file is made from the formed sheet.
func NeedsSheet(name string) bool {
	for _, a := range artefacts {
		if a.name == name {
			return a.needs&formed != 0
		}
	}
	return false
}

// needsForming reports whether any of the files wanted, or the tool's own shape, depends on the formed
// sheet.
func needsForming(j *job.Job, only []string) bool {
	if j.Tool.Choice("wall_allowance") == "formed" && (j.Tool.Choice("contact") != j.Tool.Choice("measured") || faced(j, j.Features)) {
		return true
	}
	for _, a := range artefacts {
		if a.needs&(formed|told) != 0 && (len(only) == 0 || slices.Contains(only, a.name)) {
			return true
		}
	}
	return false
}

// faced reports whether a feature has sizes that hold on a face of its own choice, which the tool does not
// touch.
func faced(j *job.Job, items []*job.Item) bool {
	for _, it := range items {
		if it.Values.Declares("face") && it.Values.Choice("face") != j.Tool.Choice("contact") || faced(j, it.Children) {
			return true
		}
	}
	return false
}

// makes reports whether a file is asked for and can be made.
func (r *Result) makes(a artefact) bool {
	return r.wants(a.name) && (a.needs&formed == 0 || r.Formed != nil) && (a.needs&partShell == 0 || r.Shell != nil) && (a.needs&stacked == 0 || r.Stack != nil) &&
		(a.needs&holes == 0 || len(r.Part.Holes) > 0) && (a.needs&folded == 0 || r.Closed != nil)
}

// asks reports whether a file asked for needs n.
func (r *Result) asks(n need) bool {
	for _, a := range artefacts {
		if a.needs&n != 0 && r.wants(a.name) && (a.needs&formed == 0 || r.Formed != nil) {
			return true
		}
	}
	return false
}

// notCleared goes into the name of every file of a build whose review found errors.
const notCleared = "-not-cleared"

// Artefacts returns the wanted files in fixed order. Those of a tool that is not cleared carry it in
// their names.
func (r *Result) Artefacts() []Artefact {
	var out []Artefact
	for _, a := range artefacts {
		if !r.makes(a) {
			continue
		}
		name := a.name
		if !r.Cleared() {
			dot := strings.LastIndexByte(name, '.')
			name = name[:dot] + notCleared + name[dot:]
		}
		out = append(out, Artefact{name, func(w io.Writer) error { return a.write(r, w) }})
	}
	return out
}

// FindingsName is the file of the findings.
const FindingsName = "findings.json"

func (r *Result) title() string {
	t := r.Job.Name
	if !r.Cleared() {
		t = "NOT CLEARED " + t
	}
	if r.Job.Revision != "" {
		t += " rev " + r.Job.Revision
	}
	return t
}

func writeSTL(r *Result, w io.Writer) error {
	return export.STL(w, r.Mesh, export.STLHeader(r.Job.Tool.Choice("datum"), r.title()))
}

func writeThreeMF(r *Result, w io.Writer) error {
	return export.ThreeMF(w, r.Mesh, export.Meta{
		Title:       r.title(),
		Application: "platen " + r.opt.Version,
		Description: "forming tool; unit mm; datum: " + r.Body.Datum,
	})
}

func writeDrills(r *Result, w io.Writer) error {
	rows := make([]export.Drill, len(r.Vents.Holes))
	for i, h := range r.Vents.Holes {
		rows[i] = drillRow(h, r.Body.Datum)
	}
	return export.DrillCSV(w, rows)
}

func drillRow(h vent.Hole, datum string) export.Drill {
	d := export.Drill{
		ID: h.ID, Feature: h.Feature, Reason: h.Reason, At: h.At, Dia: h.Dia, Depth: h.Depth,
		BackDia: h.BackDia, BackDepth: h.BackDepth, Axis: geom.Vec3{Z: -1}, Datum: datum, FormedWall: h.Wall,
	}
	if h.FromBack {
		d.From = export.Back
	}
	return d
}

func writePicture(r *Result, w io.Writer) error {
	marks := make([]render.Mark, len(r.Vents.Holes))
	for i, h := range r.Vents.Holes {
		marks[i] = render.Mark{At: h.At, Normal: geom.Vec3{Z: 1}}
	}
	behind := ""
	if len(marks) > 0 {
		behind = " (faint: behind the body)"
	}
	return render.PNG(w, r.Mesh, render.ThreeQuarter, marks, render.Options{
		Title:  r.title(),
		Note:   fmt.Sprintf("forming tool in %s; %s %.2f mm; %d vents%s", r.Body.Tool.Name, r.Part.Sheet.Name, r.Part.Gauge, len(marks), behind),
		Pieces: r.Body.Field.Pieces,
	})
}

// findingsFile is the schema of findings.json.
type findingsFile struct {
	Schema   int               `json:"schema"`
	Job      string            `json:"job"`
	Revision string            `json:"revision,omitempty"`
	Cleared  bool              `json:"cleared"`
	Errors   int               `json:"errors"`
	Warnings int               `json:"warnings"`
	Notes    int               `json:"notes"`
	Findings []finding.Finding `json:"findings"`
}

// FindingsJSON writes the findings.
func (r *Result) FindingsJSON(w io.Writer) error { return writeFindings(r, w) }

func writeFindings(r *Result, w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(findingsFile{
		Schema: 1, Job: r.Job.Name, Revision: r.Job.Revision, Cleared: r.Cleared(),
		Errors:   finding.Count(r.Findings, finding.Error),
		Warnings: finding.Count(r.Findings, finding.Warning),
		Notes:    finding.Count(r.Findings, finding.Note),
		Findings: slices.Clip(append([]finding.Finding{}, r.Findings...)),
	})
}
