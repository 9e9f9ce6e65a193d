package limits

import "platen/toolgen/source"

// The limits of taking a part off its tool.
const (
	ReleaseHand     = "release.hand"
	ReleaseBlow     = "release.blow"
	ReleaseFriction = "release.friction"
	ReleaseShare    = "release.share"
	ReleaseWarm     = "release.warm"
)

func releases() []Limit {
	return []Limit{
		{ReleaseHand, "force that takes a part off by hand without pulling it out of shape, at most", source.Practice(50), "N", Warning},
		{ReleaseBlow, "pressure of a usual blow-off, at most", source.Practice(30), "kPa", Warning},
		{ReleaseFriction, "friction of warm sheet on a smooth tool", source.Memory(0.4), "ratio", Note},
		{ReleaseShare, "part of the shrinkage that has come when the part leaves the tool", source.Practice(0.3), "x shrinkage", Note},
		{ReleaseWarm, "modulus of the sheet as it leaves the tool, of that at room temperature", source.Practice(0.4), "x modulus", Note},
	}
}
