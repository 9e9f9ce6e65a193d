// Package mesh owns triangle meshes and their audit: closed, 2-manifold, outward, free of
// self-intersection, and how far they deviate from the field they stand for.
package mesh

import (
	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// Mesh is a triangle mesh; triangles run counter-clockwise seen from the air.
type Mesh struct {
	V []geom.Vec3
	T [][3]int32
	P []piece.ID // piece of each triangle
}
