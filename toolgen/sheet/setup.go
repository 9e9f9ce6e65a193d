package sheet

import (
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/form"
	"platen/toolgen/geom"
	"platen/toolgen/limits"
	"platen/toolgen/part"
	"platen/toolgen/shop"
)

// clampOff is from the block to the clamp frame where the sheet drapes and the job names no frame, mm.
const clampOff = 20.0

// travelSlack is how far a travel may lie off what the seal asks and still be that, mm.
const travelSlack = 0.01

// Plan is how the job forms its sheet.
type Plan struct {
	form.Setup         // without the law
	Full       float64 // travel until the frame meets what the sheet seals on, mm
	Reach      float64 // from the highest to the lowest place of the tool that the sheet goes to, mm
	Gap        float64 // least distance from the plug to the tool when it is down, mm; 0 without a plug
	GapAt      geom.Vec3
}

// PlanOf returns the frame, the travel, the bubble, the plug and the vacuum as the job asks.
//
// ERROR: *part.BuildError at the key that no machine can do.
func PlanOf(b *body.Body) (Plan, error) {
	f := b.Part.Job.Forming
	frame, err := clamp(b)
	if err != nil {
		return Plan{}, err
	}
	p := Plan{Setup: sealed(b, frame), Reach: reach(b)}
	p.Full = p.Travel
	p.Gauge = b.Part.Gauge
	p.Pressure = Vacuum(b) * 1e-3
	if f.Has("travel") {
		if p.Travel, err = travel(b, p.Full); err != nil {
			return p, err
		}
	}
	if f.Has("bubble") {
		p.Blow = f.Length("bubble")
	}
	size := frame.Size()
	if most := form.MostBlow * min(size.X, size.Y); p.Blow > most {
		return p, refuse(b, "bubble", "bubble %.1f mm on a frame of %.1f x %.1f mm; allowed: up to %.1f mm, half the shorter side", p.Blow, size.X, size.Y, most)
	}
	return p, p.plug(b)
}

// travel returns the travel the job asks, where the seal takes it; full is what the seal needs.
func travel(b *body.Body, full float64) (float64, error) {
	least, most := 0.0, b.Field.Box().Max.Z-b.Bottom()
	how := "there the platen stops the frame"
	if b.Part.Job.Tool.Choice("seal") == "frame" {
		least, most = full-travelSlack, full
		how = "with seal: frame the frame ends level with the land; leave travel out, or seal on the platen or on a reducing plate"
	}
	t := b.Part.Job.Forming.Length("travel")
	if t < least || t > most+travelSlack {
		return 0, refuse(b, "travel", "travel %.2f mm: the tool goes %.2f mm into the sheet: %s", t, most, how)
	}
	return min(t, most), nil
}

// reach returns how far the tool goes down from its highest place where the sheet follows it, mm.
func reach(b *body.Body) float64 {
	top, low := b.Field.Box().Max.Z, b.Land()
	if b.Part.Job.Tool.Choice("seal") == "platen" {
		return top - b.Bottom()
	}
	for _, s := range b.Solids {
		low = min(low, s.Wall.End)
	}
	return top - low
}

func refuse(b *body.Body, key, text string, args ...any) error {
	return &part.BuildError{Pos: b.Part.Job.Forming.Pos(key), Feature: "forming", Err: fmt.Errorf(text, args...)}
}

// sealed returns the setup of a frame as the job seals.
func sealed(b *body.Body, frame geom.Box2) form.Setup {
	box, land := b.Field.Box(), b.Land()
	switch b.Part.Job.Tool.Choice("seal") {
	case "platen":
		set := form.OnPlaten(box, 0)
		set.Frame = frame
		return set
	case "reducing_plate":
		return form.ReducingPlate(frame, land, box.Max.Z, 0, b.Bottom())
	}
	return form.LevelFrame(frame, land, box.Max.Z)
}

// clamp returns the clear inside of the clamp frame: as asked, by the sheet as cut, or by the block.
func clamp(b *body.Body) (geom.Box2, error) {
	plan := b.Field.Box().Plan()
	drapes := b.Part.Job.Tool.Choice("seal") == "platen"
	least := plan.Size()
	if drapes { // the sheet goes down between frame and block
		least = least.Add(geom.Vec2{X: 2, Y: 2}.Scale(b.Part.Gauge))
	}
	size, pos, word := geom.Vec2{}, b.Part.Job.Forming.Pos("frame"), "frame"
	switch f, s := b.Part.Job.Forming, b.Part.Job.Sheet; {
	case f.Has("frame"):
		size = f.Point("frame")
	case s.Has("size"):
		grip := 2 * limits.Get(limits.Grip).Value.V
		size, pos = s.Point("size").Sub(geom.Vec2{X: grip, Y: grip}), s.Pos("size")
		word = fmt.Sprintf("sheet.size less a grip of %.0f mm all round: frame", grip/2)
	case drapes:
		return plan.Grow(clampOff), nil
	default:
		return plan, nil
	}
	if size.X < least.X-travelSlack || size.Y < least.Y-travelSlack {
		what := "the block alone"
		if drapes {
			what = "the block and the sheet down its sides"
		}
		return plan, &part.BuildError{Pos: pos, Feature: "forming", Err: fmt.Errorf("%s %.1f x %.1f mm is smaller than what it goes round: %s, %.1f x %.1f mm at least", word, size.X, size.Y, what, least.X, least.Y)}
	}
	half := size.Scale(0.5)
	return geom.Box2{Min: plan.Centre().Sub(half), Max: plan.Centre().Add(half)}, nil
}

// Vacuum returns the pressure difference over the sheet at the end, kPa: the vacuum of the job's tank,
// else of the built-in machine.
func Vacuum(b *body.Body) float64 {
	if m := b.Part.Job.Machine; m.Has("vacuum") {
		return m.Number("vacuum")
	}
	return shop.DefaultMachine().Vacuum
}
