// Package piece owns the names of the tool's surface: which feature a point belongs to, what part
// it plays there and what shape it has. A piece travels from the distance field to the mesh, the
// sheet, the review, the pictures and the drill list.
package piece

import "fmt"

// Role says what a piece does for its feature.
type Role uint8

// The roles of the surface.
const (
	Land      Role = iota // the flange plane of the tool
	Edge                  // convex rounding where a wall meets the level above it
	Wall                  // drafted wall along a straight of the outline
	Corner                // drafted wall round a corner of the outline
	Fillet                // concave rounding where a wall meets the level below it
	Floor                 // level bottom of a sunk feature
	Crown                 // level top of a raised feature
	Blend                 // rounding shared by features that cross
	Side                  // side of the block
	Skirt                 // side of the block the sheet drapes down
	Base                  // underside of the block
	Vent                  // wall of a vacuum hole
	BackDrill             // wall of a relief hole drilled from the base
	Bolt                  // wall of a mounting or dowel hole
)

var roleNames = [...]string{
	"land", "edge", "wall", "corner", "fillet", "floor", "crown", "blend", "side", "skirt", "base",
	"vent", "back drill", "bolt",
}

// String returns the trade's word for the role.
func (r Role) String() string {
	if int(r) < len(roleNames) {
		return roleNames[r]
	}
	return fmt.Sprintf("role %d", uint8(r))
}

// Shape is the kind of surface a piece lies on.
type Shape uint8

// The shapes of the surface.
const (
	Plane Shape = iota
	Cylinder
	Cone
	Torus
	Sphere
	Free // none of the others, e.g. where three roundings meet
)

// Piece is one stretch of the tool's surface.
type Piece struct {
	Feature string  // feature id, e.g. "I1/left/P3"; "block" for the block itself
	Role    Role    // what it does
	Shape   Shape   // what it is
	Radius  float64 // smallest radius of curvature, mm; 0 for a plane
}

// String returns e.g. "I1/left/P3 fillet".
func (p Piece) String() string { return p.Feature + " " + p.Role.String() }

// ID is the index of a piece in a Table.
type ID int32

// None is the ID of no piece.
const None ID = -1

// Table holds the pieces of one body.
type Table struct{ pieces []Piece }

// Add appends pieces and returns the ID of the first; the others follow it.
func (t *Table) Add(ps ...Piece) ID {
	id := ID(len(t.pieces))
	t.pieces = append(t.pieces, ps...)
	return id
}

// At returns the piece with the given ID.
func (t *Table) At(id ID) Piece { return t.pieces[id] }

// Len returns the number of pieces.
func (t *Table) Len() int { return len(t.pieces) }
