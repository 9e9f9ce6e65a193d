package stack

import (
	"context"
	"math"

	"platen/toolgen/geom"
)

// Asked is what a stack is to do.
type Asked struct {
	Layers  int     // parts one on another
	Load    float64 // of every part, g; 0: not told
	Own     float64 // mass of every part itself, g
	Inner   float64 // inner height the stack is to fit, mm; 0: not told
	SameWay bool    // loaded parts stand the same way up; else the way of the two that lies higher
}

// Study is how a part nests and stacks.
type Study struct {
	Asked  Asked
	Axis   geom.Vec2 // plan of the vertical that the half-turn is about, part frame
	Nest   *Rest     // the same way
	Turned *Rest     // turned by half a turn
	Stack  *Rest     // the way the loaded part stacks
	Rooms  []Room    // over the floors, of Stack
	Plays  []Play    // of Stack; nil until Move
	Stand  Support   // of Stack
	Bear   Bearing   // of Stack
}

// Study lowers a part on its like, both ways, and looks at what comes of it.
//
// ERROR: the context's error.
func (a Asked) Study(ctx context.Context, p *Part) (*Study, error) {
	s := &Study{Asked: a, Axis: p.Centre()}
	var err error
	if s.Nest, err = Put(ctx, p, p, Place{}); err != nil {
		return nil, err
	}
	if s.Turned, err = Put(ctx, p, p, Half(p)); err != nil {
		return nil, err
	}
	s.Stack = s.Nest
	if s.Stacks() && !a.SameWay {
		s.Stack = s.Turned
	}
	if s.Rooms, err = s.Stack.Rooms(ctx); err != nil {
		return nil, err
	}
	s.Stand = s.Stack.Stand(max(2, a.Layers))
	s.Bear, err = s.Stack.Bear(ctx, a)
	return s, err
}

// Stacks reports whether the half-turn holds the parts farther apart than the nest.
func (s *Study) Stacks() bool { return s.Turned.Lift > s.Nest.Lift+Give }

// Alike reports whether the half-turn makes no difference.
func (s *Study) Alike() bool { return math.Abs(s.Turned.Lift-s.Nest.Lift) <= Give }

// Move looks how far the upper part of the stack may be moved.
//
// ERROR: the context's error.
func (s *Study) Move(ctx context.Context) (err error) {
	s.Plays, err = s.Stack.Plays(ctx)
	return err
}
