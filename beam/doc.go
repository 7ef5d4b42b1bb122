// Package beam predicts how a machine bed stands: a beam that bends, shears and
// twists on one-sided supports, cut into cells along its length.
//
// Letters as in Timoshenko and Gere, Mechanics of Materials.
//
//	x  m        along the bed from its left end
//	y  m        across the bed from its centre line (offset)
//	w  m        height of the bed's axis, upwards positive
//	ψ  rad      rotation of the section, positive when the right end is higher
//	φ  rad      twist, positive when the positive-offset side is higher
//	h  m        height of a way at offset y: h = w + y·φ
//	M  N·m      bending moment, positive when it makes the middle low
//	V  N        shear force, the upward force of all that lies to the right
//	T  N·m      torque of all that lies to the right
//	EI, GJ N·m² bending and torsional stiffness;  κGA N  shear stiffness
//	κ₀ 1/m      free curvature, −αΔT/d for a top warmer by ΔT over depth d
//	R  N        force of a support on the bed, upwards positive
//	k  N/m      stiffness of a support; +Inf is rigid
//
// ψ′ = M/EI + κ₀,  w′ = ψ + V/κGA,  φ′ = T/GJ.
//
// Weights and loads are forces in newtons, downwards positive. Everything is SI.
package beam
