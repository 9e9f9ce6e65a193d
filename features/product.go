package features

import (
	"errors"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/silhouette"
)

// productKey is the product as a whole, from which a pocket follows.
var productKey = job.Param{Key: "product", Type: job.Group,
	Text: "what lies in the pocket, in place of size or outline: plan, clearance, depth and room for fingers follow from it", Params: []job.Param{
		{Key: "size", Type: job.Point, Min: 0.5, Max: 3000, Text: "of a box: length along X and width along Y"},
		{Key: "cylinder", Type: job.Length, Min: 0.5, Max: 3000, Text: "diameter of a cylinder that stands; not given: it is none"},
		outlineKey,
		{Key: "mesh", Type: job.Text, Text: "STL file beside the job, binary or text"},
		{Key: "height", Type: job.Length, Min: 0.2, Max: 1000, Text: "of the product as it lies; not given: that of the mesh"},
		{Key: "corner", Type: job.Length, Min: 0, Max: 500, Default: 0.0, Source: "sharp", Text: "plan corner radius of a box"},
		{Key: "edge", Type: job.Length, Min: 0, Max: 100, Default: 0.0, Source: "square edges", Text: "rounding of its lower edges; 0: they are square"},
		{Key: "tolerance", Type: job.Length, Min: 0, Max: 20, Default: 0.0, Source: "none told", Text: "by which its plan may be larger or smaller, plus-minus over all"},
		{Key: "mass", Type: job.Number, Min: 0, Max: 100000, Default: 0.0, Source: "none told", Text: "of one, g"},
		{Key: "unit", Type: job.Choice, Choices: []string{"mm", "inch"}, Default: "mm", Source: "STL files have no unit", Text: "unit of the mesh"},
		{Key: "up", Type: job.Choice, Choices: silhouette.Ups, Default: "z", Source: "as it is drawn", Text: "axis of the mesh that points up as the product lies"},
		{Key: "plan", Type: job.Choice, Choices: []string{"hull", "bays"}, Default: "hull", Source: practice,
			Text: "plan of a mesh: its convex hull, or with its bays, those closed into which a disc of 5 mm does not go"},
	}}

// heldKey is what a pocket whose own keys give the product's plan is told besides.
var heldKey = job.Param{Key: "product", Type: job.Group,
	Text: "what lies in the pocket, besides the sizes of its steps, which are then those of the product", Params: []job.Param{
		{Key: "height", Type: job.Length, Required: true, Min: 0.2, Max: 1000, Text: "of the product, from the lowest floor up"},
		{Key: "edge", Type: job.Length, Min: 0, Max: 100, Default: 0.0, Source: "square edges", Text: "rounding of its lower edges; 0: they are square"},
		{Key: "tolerance", Type: job.Length, Min: 0, Max: 20, Default: 0.0, Source: "none told", Text: "by which its plan may be larger or smaller, plus-minus over all"},
		{Key: "mass", Type: job.Number, Min: 0, Max: 100000, Default: 0.0, Source: "none told", Text: "of one, g"},
	}}

// fingersKey is the room for fingers of a pocket with a product.
var fingersKey = job.Param{Key: "fingers", Type: job.Choice, Choices: []string{"auto", "none", "one", "pair", "hand"}, Default: "auto", Source: practice,
	Text: "recesses across the rim for the product's fingers: one, 25 mm wide; a pair of 30 mm across its shorter way; hand, a pair of 100 mm; auto: a pair where the product stands out less than 12 mm, none without a product"}

// Room for fingers, mm: common practice, no source; 8 mm more with gloves.
const (
	fingerOne    = 25.0
	fingerPair   = 30.0
	fingerHand   = 100.0
	fingerGlove  = 8.0
	fingerReach  = 20.0 // out of the pocket, and down
	fingerGrip   = 12.0 // of the product's height that can be gripped without
	fingerDraft  = 8 * geom.Degree
	fingerOfDeep = 0.75 // of the pocket's depth at most
	fingerIn     = 6.0  // inward of the wall and its rounding
	fingerApart  = 12.0 // between two recesses, else one goes through; and to the corners of the pocket
	fingerLeast  = 16.0 // width of one finger
	leastRound   = 1.0  // of the two roundings of a recess together
	bayDisc      = 5.0
)

// product is what lies in a feature.
type product struct {
	*part.Held
	bays *silhouette.Product // whose plan has its bays; nil: the plan says all
}

// held returns the product that a feature is made for, nil where none is given.
func held(e part.Env) (*product, error) {
	if !e.Values.Given("product") {
		return nil, nil
	}
	v := e.Values.Group("product")
	h := &product{Held: &part.Held{Height: v.Length("height"), Edge: v.Length("edge"), Tolerance: v.Length("tolerance"), Mass: v.Number("mass")}}
	ways := 0
	for _, key := range [...]string{"size", "cylinder", "outline", "mesh"} {
		if v.Given(key) {
			ways++
		}
	}
	if ways != 1 {
		return nil, part.Blame("product", "%d plans of the product; give 1 of size, cylinder, outline and mesh", ways)
	}
	for _, key := range [...]string{"size", "outline", "corner"} {
		if e.Values.Declares(key) && e.Values.Given(key) {
			return nil, part.Blame(key, "%s stands beside a product, whose plan with the clearance is that of the pocket; keep 1 of the 2", key)
		}
	}
	if v.Given("corner") && !v.Given("size") {
		return nil, part.Blame("product", "corner %.3f mm of the product: it goes with size", v.Length("corner"))
	}
	var err error
	switch {
	case v.Given("mesh"):
		h.Plan, err = meshed(e, v, h)
	case !v.Given("height"):
		return nil, part.Blame("product", "the product has no height; 0.2 to 1000 mm")
	case v.Given("cylinder"):
		h.Plan, err = outline.Circle(v.Length("cylinder") / 2)
	case v.Given("size"):
		s := v.Point("size")
		h.Plan, err = outline.Rect(s.X, s.Y, v.Length("corner"))
	default:
		h.Plan, err = part.FromShape(v.Outline("outline"), 0, e.Open)
	}
	if err != nil {
		return nil, part.Blame("product", "%w", err)
	}
	return h, nil
}

// meshed reads a product's mesh: its plan, and its height where none is given.
func meshed(e part.Env, v *job.Values, h *product) (*outline.Outline, error) {
	name := v.Text("mesh")
	data, err := e.Open(name)
	if err != nil {
		return nil, err
	}
	mesh, err := silhouette.ReadSTL(data)
	if err != nil {
		return nil, &fileError{name, err}
	}
	unit := 1.0
	if v.Choice("unit") == "inch" {
		unit = 25.4
	}
	up, ok := silhouette.UpNamed(v.Choice("up"))
	if !ok {
		panic("features: no direction " + v.Choice("up"))
	}
	p, err := silhouette.New(mesh, up, unit)
	if err != nil {
		return nil, &fileError{name, err}
	}
	if !v.Given("height") {
		h.Height = p.Size.Z
	}
	if h.Height < 0.2 || h.Height > 1000 {
		return nil, &fileError{name, errors.New("a product from 0.2 to 1000 mm high; unit, up or height mend it")}
	}
	if v.Choice("plan") == "bays" {
		h.bays = p
	}
	o, err := planOf(p, h.bays != nil)
	if err != nil {
		return nil, &fileError{name, err}
	}
	return o, nil
}

// fileError names the file that is at fault.
type fileError struct {
	name string
	err  error
}

func (e *fileError) Error() string { return e.name + ": " + e.err.Error() }
func (e *fileError) Unwrap() error { return e.err }

// roundSlack is how far the facets of a cylinder's mesh may lie inside it, of its radius.
const roundSlack = 0.005

// planOf returns the plan of a mesh: a circle where it is a cylinder's, else its hull or its bays.
func planOf(p *silhouette.Product, bays bool) (*outline.Outline, error) {
	if bays {
		o, _, err := p.Room(0, bayDisc, 0)
		return o, err
	}
	if r, ok := p.Round(roundSlack * max(p.Size.X, p.Size.Y) / 2); ok {
		return outline.Circle(r)
	}
	return outline.Polygon(p.Hull(), 0)
}

// room returns the outline of a recess round the product, see around; run is how far the opening of the recess lies
// outside of it.
func (h *product) room(e part.Env, corner, need, run float64) (*outline.Outline, error) {
	if h.bays == nil {
		return around(e, h.Plan, corner, need)
	}
	c, key, _ := clearance(e.Values)
	// The opening needs a corner of its own in every bay.
	inward := max(min(corner, max(h.bays.Size.X, h.bays.Size.Y)/2), 1.25*run)
	round := max(1.25*need, c)
	o, slack, err := h.bays.Room(c, inward, round)
	if err != nil {
		return nil, part.Blame("product", "the mesh's plan with its bays: %w; plan: hull leaves them out", err)
	}
	if slack > c/2 {
		return nil, part.Blame(key, "clearance %.3f mm: the plan of the mesh with its bays is known to %.3f mm; clearance at least %.3f mm, or plan: hull", c, slack, math.Ceil(2000*slack)/1000)
	}
	least, at := math.Inf(1), geom.Vec2{}
	h.bays.Corners(func(q geom.Vec2) {
		if d := -o.At(q).D; d < least {
			least, at = d, q
		}
	})
	if least < cornerLeft*c-slack {
		return nil, part.Blame(key, "clearance %.3f mm: the corner of the mesh near %.2f, %.2f of it is left %.2f mm by a pocket whose own corners are rounded by %.2f mm; at least a quarter of the clearance, so a larger one, or a smaller floor rounding",
			c, at.X, at.Y, least, round)
	}
	return o, nil
}

// sunk returns how deep a pocket is: as asked, or as deep as its product is high.
func sunk(v *job.Values, h *product) (float64, error) {
	switch {
	case v.Given("depth"):
		return v.Length("depth"), nil
	case h != nil:
		return h.Height, nil
	}
	return 0, part.Blame("depth", "missing key \"depth\": 0.2 to 1000 mm, or a product whose height it takes")
}

// fingers returns the recesses for the fingers that take a product out of a pocket of an outline.
func fingers(e part.Env, o *outline.Outline, h *product, depth, floor float64) ([]part.Solid, error) {
	way := e.Values.Choice("fingers")
	auto := way == "auto"
	if auto {
		way = "none"
		if h != nil && h.Height-depth < fingerGrip {
			way = "pair"
		}
	}
	if way == "none" {
		return nil, nil
	}
	wide := map[string]float64{"one": fingerOne, "pair": fingerPair, "hand": fingerHand}[way]
	if e.Values.Choice("fit") == "glove" {
		wide += fingerGlove
	}
	box := o.Bounds()
	turn := geom.Angle(0) // of the way out from +Y
	across := box.Size().Y
	if box.Size().X < box.Size().Y {
		turn, across = -90*geom.Degree, box.Size().X
	}
	// A web beside a recess that is nearly as wide as the pocket would be too thin to form.
	if side := max(box.Size().X, box.Size().Y); side < wide+fingerApart {
		if wide = side - fingerApart; wide < fingerLeast {
			wide = side + fingerApart
		}
	}
	run := e.Values.Length("edge") + depth*e.Values.Angle("draft").Tan()
	inner := run + fingerIn
	ways := []geom.Angle{turn, turn + 180*geom.Degree}
	switch {
	case way == "one":
		ways, inner = ways[:1], min(inner, across/2)
	case across < 2*inner+fingerApart:
		ways, inner = ways[:1], across+fingerReach // one trough through both rims
	}
	deep := min(fingerReach, fingerOfDeep*depth)
	edge, draft := e.Values.Length("edge"), max(fingerDraft, e.Values.Angle("draft"))
	// What the wall leaves to its two roundings, where the sheet on land and floor may take its gauge.
	both := (deep-e.Gauge-part.ShortWall*draft.Cos())/(1-draft.Sin()) - 0.01
	switch {
	case both < leastRound && auto:
		return nil, nil // too shallow to need any
	case both < leastRound:
		return nil, part.Blame("fingers", "a pocket %.2f mm deep has no room for fingers; fingers: none, or at least %.2f mm", depth, (leastRound+e.Gauge+part.ShortWall)/fingerOfDeep)
	}
	edge = min(edge, 0.8*both)
	var out []part.Solid
	for i, w := range ways {
		s, err := fingerAt(o, w, wide, inner)
		if err != nil {
			return nil, part.Blame("fingers", "%w", err)
		}
		out = append(out, part.Solid{
			Suffix: [...]string{"fingers-1", "fingers-2"}[i], Outline: s, Sunk: true, Height: deep, Holds: part.AtHost,
			Draft: draft, HostR: edge, EndR: min(floor, both-edge), Use: part.Grip,
		})
	}
	return out, nil
}

// fingerAt returns the plan of a recess across the outline, in the direction +Y turned by way from the
// middle of its box.
func fingerAt(o *outline.Outline, way geom.Angle, wide, inner float64) (*outline.Outline, error) {
	middle := o.Bounds().Centre()
	dir := geom.Vec2{Y: 1}.Turn(way)
	rim := 0.0 // outermost crossing, found from outside by the distance
	for r := o.Bounds().Size().Norm(); r > 0; {
		d := o.At(middle.Add(dir.Scale(r))).D
		if d <= 1e-6 {
			rim = r
			break
		}
		r -= d
	}
	long := inner + fingerReach
	var s *outline.Outline
	var err error
	if long >= wide {
		s, err = outline.Slot(long, wide)
		way += 90 * geom.Degree
	} else {
		s, err = outline.Rect(wide, long, long/2*0.999)
	}
	if err != nil {
		return nil, err
	}
	at := middle.Add(dir.Scale(rim + (fingerReach-inner)/2))
	return s.Map(geom.Turned(geom.Angle(math.Remainder(float64(way), 2*math.Pi))).Then(geom.Moved(at)))
}
