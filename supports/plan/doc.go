// Package plan finds which feet of a bed to move, how far, in what order, and what an
// instrument must read after each: over all beds that the one on the floor may be.
//
// # What is known, and what is made least
//
// A bed is some dozens of draws, each as likely as any other: foot heights, stiffness,
// warmth, form (beam.Draw). A certain bed is one draw. At most 64 of them choose plans;
// all others, with slips of the hand of their own, judge every plan of the answer, so that
// none looks better than the bed because it was fitted to the draws (Split).
//
//	r    m   raise of each foot, after it was brought to touch if it hangs
//	z_d  m   least zone of draw d after the plan: of each way, or of all about one plane
//	R_f  N   load of foot f;  R̄ the mean of all feet;  L the least load, a share of R̄
//	s_f  m   standard uncertainty of a move: of the reading it is turned to, or the angle
//
// Made least is the median over the draws of z_d or, at rest, of the root mean square of
// R_f − R_f°, R° being the loads of the same draw on level feet and evenly warm. The cost
// of a plan adds to it, in metres of zone: 10 for each metre on the side that is not
// allowed, 50 µm for each mean foot load that feet lack of L on the average or are expected to
// lack of L/2, and 10 µm for the probability by which more than 5 % of the draws have any foot miss L/2 or
// its rating: a tenth of the draws more is worth a micrometre. (Twenty times as much buys no beds that
// keep their loads: closed-loop trial by angle, 120 beds, one round: of the outcomes 4.5 and 5.5 % had a
// foot below L/2, 86 and 79 % reached their best.) The best that feet can do often has one at L itself:
// who wants all of L in 95 % of draws stays away from it by as much as loads are unsure. Beyond its
// rating, or what it carries now, no foot is loaded more likely than not, whatever else that costs.
//
// # The programme
//
// While the contact of a draw stays, its heights h and loads R are linear in r; so are
// their means over the draws, each with its own contact. On these means the least zone Z
// is a linear programme (carrying, stationRows):
//
//	min Z + prices   with   |h_i + Σ_f r_f ∂h_i/∂r_f − (a + b·x_i + c·y_i)| ≤ Z/2
//	                        lowest_f ≤ r_f ≤ highest_f
//	                        R_f + Σ_g r_g ∂R_f/∂r_g + lack_f ≥ L
//	                        q_f ≥ Φ(−t) − φ(t)·(z_f − t),  Σ_f q_f − over ≤ 5 %
//
// with z_f = (R_f + Σ_g r_g ∂R_f/∂r_g − L/2)/σ_f. So q_f holds from below, by tangents at some t, the
// probability that a normal load misses L/2, and their sum from above that any foot does (Boole): how
// far each stays away is chosen with the moves, more where that costs nothing and less where it costs
// most (risk allocation: L. Blackmore, M. Ono, Convex chance constrained predictive control without
// sampling, AIAA GNC 2009). σ_f is the standard deviation over the draws once all feet are moved as is
// best, for stiffness that is not known shows when they are, with the slips of those moved. The prices are the cost's own,
// but that L on the average is kept at any. At rest it is the quadratic programme of least
// squares of the departures, their twisting part counted three times.
//
// # What is approximated, and how that is mended
//
//   - The zone of the mean is not the median of the zones. Plans are compared by the latter.
//   - Contact: a foot that is moved is taken to carry in every draw, one left alone as it
//     does now. When the draws say otherwise the programme is set up again about its own
//     answer, with the contact of each draw and the spread of the loads there, up to three times, and
//     a step is kept only if the draws gain by it. Where programmes are blind (stacks of shims, feet that hang and
//     cannot be raised until they touch) a pattern search over the draws follows. Where feet
//     hang, one foot alone that would bring others to carry may be missed.
//   - Which feet: of up to twelve that can move every choice is looked at, by branch and bound,
//     a choice being bounded by those that hold it; of more they are left out one by one
//     and exchanged (NotAllTried). A plan that only raises is taken where it costs less than a
//     tenth more and goes no more than half as far again: wedges do not follow down, and
//     raising all feet alike does nothing to a bed.
//   - A raise goes to the nearest that its adjuster makes: whole degrees of a screw turned by
//     angle, finer than a hand's slip, and stacks of shims, which the pattern search changes
//     one and two at a time. Both are judged as rounded. Moves that are turned to a reading are
//     not rounded: a stiffer bed is then moved by less, by as much as the place that is
//     watched shows, and the draws are judged so.
//   - Of more feet than all choices are looked through of, sizes that gain less than a hundredth
//     are left out, and doubts about contact are looked at once.
//
// # Which plan
//
// Plans that cost no less than one of fewer feet are dropped. Recommended is the first that
// surely (97.5 %) is within tolerance; where none is, the first over which the best gains no
// more than half a standard deviation of the gain, draw by draw and slip by slip, or, where feet
// are moved at all, than 15 % of what it leaves: less may as well be none, and is not noticed. The gain is taken
// between the same draws with the same slips, and has to pass both marks: so the number of
// feet hangs little on which draws were drawn. The plan that moves nothing is one of them. A
// plan that is less straight than one of fewer feet is dropped, for it buys load alone.
//
// At the bed every step is followed by a reading, so a gain is not lost when it was less than
// hoped, and a foot that is lighter already in a draw, and gets no lighter, misses nothing there. But
// each step is one more chance of a miss: it is 1 % that may miss, and more costs twice as much.
// Next goes on as long as the mean of the gains is a twentieth of the zone. Where it is
// not, Known bounds what a new survey could buy: each draw brought to its own best zone, as if
// it were known to be the bed and no hand slipped. Loads that stay open after a survey would have
// it stall there: where a hand feels the feet after each small step (ByFeel) it is enough that half
// the least load is more likely kept than not, feet that hang in doubt among them, and the feet
// that may go below it are named. A rating, which no hand feels, is kept as surely as without.
//
// # Steps
//
// A step is one visit to one foot. The fewest visits are sought, depth first, on whose way
// in 95 % of draws no foot falls below L and below what it carries before and after, nor
// rises above its rating likewise; loads between two steps lie between theirs as long as the
// contact stays. Feet that hang or are light and are raised come first, then the foot
// turned last, then those watched from one place.
//
// A foot is watched where noise hides least of its move: the standard uncertainty of the
// move is √2 σ/|∂reading/∂r|, of two places whose readings are taken off each other
// 2 σ/|…|, which drift does not touch. Among the places within a quarter of the best, few
// set-ups are preferred. A foot whose angle tells as well is not watched.
//
// # Work
//
// Every programme and every standing draw takes from a budget of operations, never of time:
// the same task gives the same answer. What is spent ends the search with the best so far.
package plan
