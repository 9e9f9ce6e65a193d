package sdf_test

import (
	"testing"

	"platen/toolgen/outline"
	"platen/toolgen/sdf"
)

func slot(t testing.TB, l, w, x, y, turn float64) *outline.Outline {
	return rect(t, l, w, w/2, x, y, turn)
}

// scenes are the clusters a tray is made of.
func scenes(t testing.TB) map[string][]sdf.Member {
	pocket := sdf.Member{Feature: "pocket", Outline: rect(t, 110, 90, 15, 0, 0, 0), Wall: sunk(0, -38, 6, 3, 4), Host: -1}
	soft := pocket
	soft.Wall.EndR = 2
	shallow := pocket
	shallow.Wall.End = -10
	return map[string][]sdf.Member{
		"crossing channels": {
			{Feature: "a", Outline: slot(t, 120, 30, 0, 0, 0), Wall: sunk(0, -15, 6, 3, 4), Host: -1},
			{Feature: "b", Outline: slot(t, 120, 36, 5, 2, 90), Wall: sunk(0, -22, 8, 3, 4), Host: -1},
		},
		"channels of one depth": {
			{Feature: "a", Outline: slot(t, 120, 30, 0, 0, 0), Wall: sunk(0, -15, 6, 3, 4), Host: -1},
			{Feature: "b", Outline: slot(t, 120, 36, 5, 2, 68), Wall: sunk(0, -15, 8, 3, 4), Host: -1},
		},
		"rib and boss": {
			pocket,
			{Feature: "rib", Outline: rect(t, 120, 9, 2, 0, 12, 13), Wall: raised(-38, -26, 3, 4, 1), Host: 0},
			{Feature: "boss", Outline: rect(t, 20, 16, 4, -12, -20, 0), Wall: raised(-38, -30, 5, 4, 1), Host: 0},
		},
		"small root": {
			pocket,
			{Feature: "rib", Outline: rect(t, 120, 9, 2, 0, 12, 13), Wall: raised(-38, -26, 3, 1, 1), Host: 0},
			{Feature: "boss", Outline: rect(t, 20, 16, 4, -47, -20, 20), Wall: raised(-38, -30, 5, 1, 1), Host: 0},
		},
		"lug near an edge": {
			soft,
			{Feature: "lug", Outline: rect(t, 18, 12, 3, 66, 0, 0), Wall: raised(0, 9, 10, 2, 1), Host: -1},
		},
		"lug over an edge": {
			soft,
			{Feature: "lug", Outline: rect(t, 18, 12, 3, 55, 8, 16), Wall: raised(0, 9, 10, 2, 1), Host: -1},
		},
		"recess to the floor": {
			pocket,
			{Feature: "recess", Outline: slot(t, 34, 24, 55, 5, 4), Wall: sunk(0, -38, 8, 3, 4), Host: -1},
		},
		"recess above the floor": {
			pocket,
			{Feature: "recess", Outline: slot(t, 34, 24, 55, 5, 4), Wall: sunk(0, -28, 8, 3, 4), Host: -1},
		},
		"child out of its parent": {
			shallow,
			{Feature: "child", Outline: rect(t, 40, 30, 8, 48, 0, 10), Wall: sunk(-10, -30, 6, 3, 4), Host: 0},
		},
		"channel across a stepped pocket": {
			shallow,
			{Feature: "deep", Outline: rect(t, 60, 40, 10, 5, 0, 0), Wall: sunk(-10, -30, 6, 3, 4), Host: 0},
			{Feature: "channel", Outline: slot(t, 180, 24, 20, 4, 8), Wall: sunk(0, -20, 8, 3, 4), Host: -1},
		},
		// The root's ball rests against the pad in the pocket's floor fillet, a hollow little wider than itself.
		"pad over a pocket's floor": {
			{Feature: "pad", Outline: rect(t, 34.93, 17.16, 6.02, 0, 0, 18.1), Wall: raised(0, 6.32, 6, 0.8, 0.8), Host: -1},
			{Feature: "pocket", Outline: rect(t, 27.1, 31.72, 6.02, 2.81, 4.62, -31.6), Wall: sunk(0, -7.33, 8, 0.8, 1), Host: -1},
		},
		// Beside the rib the floor is nearest, but its root's ball rests on the wall across.
		"rib down a wedge": {
			{Feature: "pocket", Outline: rect(t, 25.3, 21.9, 6, 0, 0, 30.6), Wall: sunk(0, -5.1, 8, 1, 0.8), Host: -1},
			{Feature: "cup", Outline: rect(t, 21.21, 21.21, 10.605, 15.3, 18.3, 0), Wall: sunk(0, -5.8, 15, 1, 0.8), Host: -1},
			{Feature: "rib", Outline: slot(t, 44.6, 12, 0.8, 2, 9.4), Wall: raised(0, 4.2, 6, 0.5, 1), Host: -1},
		},
		"lug with a recess": {
			{Feature: "lug", Outline: rect(t, 60, 40, 8, 0, 0, 5), Wall: raised(0, 20, 6, 2, 3), Host: -1},
			{Feature: "dish", Outline: rect(t, 34, 20, 6, 2, 1, 0), Wall: sunk(20, 12, 8, 3, 2), Host: 0},
			{Feature: "knob", Outline: rect(t, 26, 26, 5, 31, 0, 0), Wall: raised(0, 11, 8, 2, 1.5), Host: -1},
		},
	}
}
