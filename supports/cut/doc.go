// Package cut tells what metal is to come off the ways, how much, and where pass by pass.
//
// A flat is cut to the lowest line that removal reaches, tied flats to one plane: of all
// lines that lie nowhere above the way the one from which it rises least, for passes are
// counted where it is highest, and of planes that one way alone holds the highest, for the
// others' sake. A vee is cut flank by flank. With u and v the heights and
// the sideways places of a rider along the bed, θ the slope of a flank and λ the lean of
// its normal towards positive offset (sin θ, its sign by side and by groove or ridge),
//
//	n = cos θ·(u − A − Bx − Cy) + λ·(v − D − Ex) ≥ 0
//
// is what comes off square to a flank so that the rider ends on a plane and on a straight
// line sideways. Of all planes and lines those with the least volume are taken: a linear
// programme in A to E. Straightening sideways always costs height, tan θ of it, so both
// are found at once; flats tied to the vee are in the same plane, and so in the same
// programme: every skim of the one forces one of the other.
//
// Where metal is known to be unworn, plane and line are those of least squares through it,
// sunk until nothing lies below. Between stations stands what the log has of passes that
// ended there; it is cut where it stands up, and brings no line down.
//
// The volume is that above the line between the first and the last station, solid; swept
// up as loose chips it fills some five to eight times the room (common practice, no source).
package cut
