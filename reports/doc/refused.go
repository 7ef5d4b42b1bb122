package doc

import (
	"errors"

	"footwork/beam"
	"footwork/supports/place"
)

// Refused puts into words why a bed cannot be worked out; nil for any other error.
func Refused(err error) Text {
	var tip *beam.TipError
	var clash *beam.ClashError
	switch {
	case errors.As(err, &tip) && tip.Table:
		return say("the table would tip: its weight acts ", q(Spot, tip.Over), " beyond the ways towards the ", tip.Side, "; shorten the stroke or bring the load nearer to the middle")
	case errors.As(err, &tip):
		return say("standing ", quoted(tip.Standing), ": the bed would tip: its weight acts ", q(Spot, tip.Over), " beyond its supports towards the ", tip.Side,
			"; put a foot there, or hold one down (held = true) elsewhere")
	case errors.As(err, &clash):
		return say("standing ", quoted(clash.Standing), ": ", list(clash.Feet), " are rigid and contradict one another by ", q(Height, clash.By),
			": they cannot all touch the bed as they are held; give them a stiffness, bring them to one height, or let one go (held = false)")
	case errors.Is(err, place.ErrNone):
		return say("no number of feet asked for holds the bed, with the table over its whole stroke, within the zones: widen the zones, lessen apart, or shorten the stroke")
	}
	return nil
}
