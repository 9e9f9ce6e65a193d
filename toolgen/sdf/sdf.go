// Package sdf owns the signed distance field of the tool: profiles swept along outlines, features
// rounded together where they cross, and the body they make.
//
// Sign, said once: distance is NEGATIVE in tool material and the gradient points into the AIR.
// Coordinates are the tool datum's, mm. Fields are 1-Lipschitz: a field may report less than the
// true distance but never more, and the value is exact near the surface.
package sdf

import (
	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// Sample is what a field says at a point.
type Sample struct {
	D     float64   // signed distance, mm: negative in material
	G     geom.Vec3 // unit gradient, pointing into the air
	Piece piece.ID  // piece of the surface nearest to the point
}

// Field is a signed distance field.
type Field interface {
	// At returns the sample at p; finite for every finite p.
	At(p geom.Vec3) Sample
}

// Survey says which surface can lie within a ball: a conservative, symbolic answer that sizes the
// cells of a mesher better than any sampled flatness.
type Survey struct {
	Planes int     // distinct planes that may have surface in the ball
	Curved bool    // whether anything curved may
	Radius float64 // smallest radius of curvature among what is curved, mm; +Inf if none
}

// Surveyor is a field that can be surveyed.
type Surveyor interface {
	Field
	// Survey lists what may have surface within rho of c. It may list too much, never too little.
	Survey(c geom.Vec3, rho float64) Survey
}
