package beam

import (
	"footwork/beam/shape"
)

// Draw is one possible bed in one standing: all that a job, a survey or a hand may
// leave unsure, said. A bed as the job gives it is the zero Draw; a bed as found is
// many of them, each as likely as any other. Every question about a bed is a function
// of one Draw, and every answer a summary over all.
type Draw struct {
	Heights  []float64     // m, of every foot's unloaded top; nil: the standing's own
	Bending  float64       // times EI and κGA; 0: 1
	Twist    float64       // times GJ; 0: 1
	Feet     []float64     // times each foot's stiffness; nil: 1
	Gradient *float64      // K, top minus bottom; nil: the standing's own
	Form     []shape.Shape // m, the metal of each way of the bed, in their order; nil: straight
}

// factors are a draw's on the parts of a compliance.
type factors struct{ bend, twist float64 }

func (d Draw) factors() factors { return factors{orOne(d.Bending), orOne(d.Twist)} }

// softness returns what parts of a compliance are multiplied by.
func (f factors) softness() (bend, twist float64) { return 1 / f.bend, 1 / f.twist }

// of returns a bending and a twisting part of a height or a compliance, divided by
// the stiffness of each.
func (f factors) of(bend, twist float64) float64 { return bend/f.bend + twist/f.twist }

// gradient returns the draw's, K.
func (d Draw) gradient(s Standing) float64 {
	if d.Gradient != nil {
		return *d.Gradient
	}
	return s.Gradient
}

// height returns that of a foot, m.
func (d Draw) height(s Standing, foot int) float64 {
	if d.Heights != nil {
		return d.Heights[foot]
	}
	return s.Feet[foot].Height
}

// foot returns the factor on a foot's stiffness; 1 for a point of a bearing (−1).
func (d Draw) foot(foot int) float64 {
	if len(d.Feet) == 0 || foot < 0 {
		return 1
	}
	return d.Feet[foot]
}

// Metal returns the metal of a way at places x, m.
func (d Draw) Metal(way int, x []float64) []float64 {
	if way >= len(d.Form) || len(d.Form[way].X) == 0 {
		return make([]float64, len(x))
	}
	return d.Form[way].Over(x)
}
