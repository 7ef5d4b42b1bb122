// Package beam predicts how a machine bed stands: a beam that bends, shears and
// twists (beam/free) on one-sided supports.
//
// Letters as in Timoshenko and Gere, Mechanics of Materials.
//
//	x  m        along the bed from its left end
//	y  m        across the bed from its centre line (offset)
//	w  m        height of the bed's axis, upwards positive
//	ψ  rad      rotation of the section, positive when the right end is higher
//	φ  rad      twist, positive when the positive-offset side is higher
//	e  m        offset of the shear centre, about which the section twists
//	h  m        height of a way at offset y: h = w + ∫(y−e)φ′dx
//	φ_d rad     distortion of a box, which its walls go up and down with besides φ, corners opening by 2φ_d
//	χ  rad/m    warping: every point moves along the bed by ω·χ, ω its sectorial coordinate
//	M  N·m      bending moment, positive when it makes the middle low
//	V  N        shear force, the upward force of all that lies to the right
//	T  N·m      torque about e of all that lies to the right
//	B  N·m²     bimoment
//	EI, GJ N·m² bending and torsional stiffness;  κGA N  shear stiffness
//	EI_ω N·m⁴, GA_ω N·m²  warping stiffness and that of its shear
//	κ₀ 1/m      free curvature, −αΔT/d for a top warmer by ΔT over depth d
//	R  N        force of a support on the bed, upwards positive
//	k  N/m      stiffness of a support; +Inf is rigid
//	k_d N       frame stiffness of a box's plates;  EI_d N·m⁴, GA_d N·m²  its warping and shear in distortion
//
// ψ′ = M/EI + κ₀,  w′ = ψ + V/κGA,
// T = GJφ′ + GA_ω(φ′ − χ),  B = −EI_ωχ′,  B′ = −GA_ω(φ′ − χ),  B = 0 at both ends,
// and of a box (EI_dψ_d′)′ + GA_d(φ_d′ − ψ_d) = 0,  (GA_d(φ_d′ − ψ_d))′ − k_dφ_d = −T′
//
// (Vlasov, with the walls' shear as Timoshenko has it). Where the shear centre changes
// from section to section each twists about its own: torque and height are both taken about it, so that
// what a force does is still reciprocal. That χ is the same on both sides of the step is an approximation: sectorial coordinates
// there differ by more than a factor. Bending about the upright axis is left out: ribs and feet
// hold the bed against it.
//
// The iron over a foot gives, and a foot's force enters over a length, where a section's plates are known; under a line load
// the wall is pressed in. These are the solid's, not the beam's: a bed known by its constants has none of them.
//
// Weights and loads are forces in newtons, downwards positive. Everything is SI.
package beam
