package sdf

import (
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
)

// Member is one feature of a cluster, given sharp: the cluster rounds all of them together.
type Member struct {
	Feature string           // feature id
	Outline *outline.Outline // tool plan
	Wall    Wall             // HostR is the rounding at the host level, EndR at the end level
	Host    int              // member on whose floor or crown it stands; -1: the cluster's host plane
}

// Joint is a cluster of features that cross, touch or nest closely, rounded on whole levels.
type Joint struct {
	Members []Member
}

// At returns the sample of the host plane with the cluster.
func (j *Joint) At(p geom.Vec3) Sample { panic("sdf: joint") }

// Plan returns a signed distance in plan to the region where the cluster is not its host plane.
func (j *Joint) Plan(q geom.Vec2) float64 { panic("sdf: joint") }

// Flat returns a lower bound of the distance in plan to the end of the level that q lies over.
func (j *Joint) Flat(q geom.Vec2) float64 { panic("sdf: joint") }

// Box returns the box that holds all of the cluster but its level planes.
func (j *Joint) Box() geom.Box3 { panic("sdf: joint") }

// Survey lists what may have surface within rho of c.
func (j *Joint) Survey(c geom.Vec3, rho float64) Survey { panic("sdf: joint") }

// Level returns the pieces of the level planes of the cluster, host plane first.
func (j *Joint) Level() []piece.ID { panic("sdf: joint") }
