package render

import (
	"image/color"
	"math"

	"platen/toolgen/mesh"
	"platen/toolgen/piece"
)

// tone is a colour in linear light.
type tone struct{ r, g, b float64 }

func (a tone) scale(s float64) tone {
	return tone{float64(a.r * s), float64(a.g * s), float64(a.b * s)}
}

func (a tone) add(b tone) tone { return tone{a.r + b.r, a.g + b.g, a.b + b.b} }

func (a tone) times(b tone) tone {
	return tone{float64(a.r * b.r), float64(a.g * b.g), float64(a.b * b.b)}
}

// mix goes from a to b.
func (a tone) mix(b tone, s float64) tone {
	return tone{a.r + float64(s*(b.r-a.r)), a.g + float64(s*(b.g-a.g)), a.b + float64(s*(b.b-a.b))}
}

// hex makes a tone from 0xRRGGBB as screens show it.
func hex(c uint32) tone {
	return tone{linear[c>>16&0xff], linear[c>>8&0xff], linear[c&0xff]}
}

// linear maps a screen value to linear light. SOURCE: IEC 61966-2-1 (sRGB).
var linear = func() (out [256]float64) {
	for i := range out {
		s := float64(i) / 255
		if s <= 0.04045 {
			out[i] = s / 12.92
		} else {
			out[i] = math.Pow((s+0.055)/1.055, 2.4)
		}
	}
	return out
}()

// screenSteps is the fineness of the table back to screen values: the steepest part of the curve
// moves 0.2 of a value a step.
const screenSteps = 1 << 14

var screen = func() (out [screenSteps + 1]uint8) {
	k := 0
	for i := range out {
		x := float64(i) / screenSteps
		for k < 255 && x >= (linear[k]+linear[k+1])/2 {
			k++
		}
		out[i] = uint8(k)
	}
	return out
}()

func toScreen(x float64) uint8 {
	return screen[int(float64(min(max(x, 0), 1)*screenSteps)+0.5)]
}

func (a tone) rgba() color.RGBA {
	return color.RGBA{toScreen(a.r), toScreen(a.g), toScreen(a.b), 255}
}

// The colours of a picture: a pale board body in daylight on a light bench.
var (
	paper     = hex(0xf4f3ef)
	ink       = hex(0x1f2a30)
	quietInk  = hex(0x66717a)
	plain     = hex(0xbfc4c2)
	ventTone  = hex(0x0f6b78)
	noteTone  = hex(0x3f6fa8)
	warnTone  = hex(0xc27a10)
	errorTone = hex(0xb3352b)
	axisTones = [3]tone{hex(0xa8483c), hex(0x4f7d46), hex(0x3a6392)}
)

// roleTones tint the body a little by what a piece does; roles not named are plain.
var roleTones = map[piece.Role]tone{
	piece.Land:      hex(0xc6c8c2),
	piece.Edge:      hex(0xd3cdba),
	piece.Wall:      hex(0xb3c0c6),
	piece.Corner:    hex(0xb3c0c6),
	piece.Fillet:    hex(0xa9bcbf),
	piece.Floor:     hex(0xaec6c4),
	piece.Crown:     hex(0xd4c9ae),
	piece.Blend:     hex(0xc2c5bb),
	piece.Skirt:     hex(0xbabfbe),
	piece.Vent:      hex(0x5d7f86),
	piece.BackDrill: hex(0x5d7f86),
	piece.Bolt:      hex(0x8e8b86),
}

// tints returns the colour of each triangle.
func tints(m *mesh.Mesh, pieces *piece.Table) func(t int32) tone {
	if pieces == nil || len(m.P) == 0 {
		return func(int32) tone { return plain }
	}
	byPiece := make([]tone, pieces.Len())
	for i := range byPiece {
		c, ok := roleTones[pieces.At(piece.ID(i)).Role]
		if !ok {
			c = plain
		}
		byPiece[i] = c
	}
	return func(t int32) tone {
		if id := m.P[t]; id != piece.None {
			return byPiece[id]
		}
		return plain
	}
}
