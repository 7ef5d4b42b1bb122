// Package section finds the constants of a bed's section from the upright rectangles it is
// made of, as seen from the end. Their union, on a fine rectilinear mesh, decides
// everything: cells, pieces and overlaps are seen, nothing is counted twice.
//
// y runs across the bed, z up. Saint-Venant's warping function ω makes
// ∫|∇ω + (−z, y)|²dA least; that least is J (Pilkey, Analysis and Design of Elastic
// Beams, 2002, chapters 5 to 7, with Poisson's ratio left out of the shear). Bilinear
// elements hold a thin plate's ω = −yz exactly, so that a few across a wall are enough.
//
//	shear centre  ∫ωỹ = ∫ωz̃ = 0 about it (Trefftz)
//	I_ω = ∫ω²dA about the shear centre
//	A_s = I²/∫|∇θ|²dA,      ∇²θ = −z̃, no flow through the edge
//	A_ω = I_ω²/∫|∇η|²dA,    ∇²η = −ω, likewise
//
// A section may be in several pieces, walls that only ribs join: then each bends about its own
// centroid, and ỹ, z̃ and the mean of ω are each piece's own. Of two bare walls that makes
// I_ω = ΣI·y² and A_ω = ΣA_s·y².
package section
