// Package blue tells what a master prints on a way: a blued straightedge, prism or table
// lies on it, both bend, and colour is left where the air between them is no thicker than
// the film.
//
// A print is local truth. It says where this master, under its own weight and through this
// film, meets the way within its own length, and nothing about longer forms: a master long
// enough to sag into a hollow prints it full.
//
// A prism lies on both flanks of a vee as one body, free to go aside and to roll: each flank
// holds up what is square to it, and one that is not the prism's angle bears on an edge.
//
// Letters of the hinge: p(s) is the pressure along the master, s counted from the end that
// is pushed. A slow push aside meets Coulomb friction μp everywhere, one way before the
// pivot and the other way beyond it, and no moment about the pushed end, so that the pivot X
// halves the first moment of the pressure: ∫₀ˣ p s ds = ½∫ p s ds. Even pressure gives
// X = L/√2: the pivot stands 1 − 1/√2 = 29.3 % of the length from the far end.
package blue
