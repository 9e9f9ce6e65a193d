package toolgen

import (
	"context"
	"errors"

	"platen/toolgen/stack"
)

// LidSummary is how a lid lies on a part.
type LidSummary struct {
	Job    string        `json:"job"`
	Rest   RestSummary   `json:"rest"`
	Height float64       `json:"height_mm"` // of both over all
	Rooms  []RoomSummary `json:"free_over_floors"`
	Plays  []PlaySummary `json:"play"`
}

// Lid lowers the part of another job on this one's, the same way up, its origin over this one's.
//
// ERROR: one of the sheets was not formed; the context's error.
func (r *Result) Lid(ctx context.Context, lid *Result) (*LidSummary, error) {
	if r.Stack == nil || lid.Formed == nil {
		return nil, errors.New("a lid needs both sheets formed")
	}
	upper, err := stack.New(ctx, lid.Body, lid.Formed)
	if err != nil {
		return nil, err
	}
	rest, err := stack.Put(ctx, r.Stack.Nest.Lower, upper, stack.Place{})
	if err != nil {
		return nil, err
	}
	plays, err := rest.Plays(ctx)
	if err != nil {
		return nil, err
	}
	rooms, err := rest.Rooms(ctx)
	if err != nil {
		return nil, err
	}
	return &LidSummary{
		Job: lid.title(), Rest: restSummary(rest), Height: micron(rest.Tall()),
		Rooms: roomSummaries(rooms), Plays: playSummaries(plays),
	}, nil
}
