package limits

import "platen/toolgen/source"

// The limits of nesting and stacking.
const (
	StackClear = "stack.clear"
)

func stacks() []Limit {
	return []Limit{
		{StackClear, "height between where a part is carried and where its walls would wedge, 0.3 to 0.5", source.Practice(0.3), "mm", Warning},
	}
}
