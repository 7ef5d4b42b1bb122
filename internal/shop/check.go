package shop

import (
	"math"

	"footwork/beam/casting"
	"footwork/reports"
)

// What is told of: a box without a rib over more than four times its depth (of solids a box ribbed at twice its depth is
// right within 7 % of a move's range, one bare over eight times it within 14 %), and a section that sags up to a twentieth more than
// is foretold (walls of which one is three and a half times as thick, with a floor: 0.0025).
const bareBox, skewed = 4, 0.05

// Check tells what the job says that the bed is.
func (s *Shop) Check() (*reports.Check, error) {
	b := s.Bed
	v := &reports.Check{Weighed: b.Weight, WeighedSD: s.WeighedSD, Material: b.Material}
	v.Plates, v.Ribs = b.Drawn()
	stretches, err := b.Stretches()
	if err != nil {
		return nil, err
	}
	for _, p := range stretches {
		if p.To-p.From < p.Depth && len(stretches) > 1 {
			continue // where a row of ribs ends a little before the bed does
		}
		v.Stretches = append(v.Stretches, p)
		v.Doubts = append(v.Doubts, stretchDoubts(p)...)
	}
	for _, st := range s.Standings {
		rigid := len(st.Feet) > 0
		for _, f := range st.Feet {
			casting, _ := b.Give(f.At, f.Offset, f.Length)
			v.Feet = append(v.Feet, reports.CheckFoot{Standing: st.Name, Foot: f.Name, Give: 1/f.Stiffness + casting, Casting: casting})
			rigid = rigid && math.IsInf(f.Stiffness, 1)
		}
		if rigid {
			v.Doubts = append(v.Doubts, reports.CheckDoubt{Kind: reports.RigidFeet, Standing: st.Name})
		}
	}
	return v, nil
}

// stretchDoubts are what a stretch leaves open.
func stretchDoubts(p casting.Stretch) (out []reports.CheckDoubt) {
	if p.Unribbed {
		kind := reports.OpenUnribbed
		if p.Cells > 0 {
			kind = reports.BoxUnribbed
		}
		out = append(out, reports.CheckDoubt{Kind: kind, From: p.From, To: p.To, Walls: p.Walls})
	}
	if p.Bare > bareBox*p.Depth {
		out = append(out, reports.CheckDoubt{Kind: reports.BoxBare, From: p.From, To: p.To, Long: p.Bare})
	}
	if p.Skew > skewed {
		out = append(out, reports.CheckDoubt{Kind: reports.Lopsided, From: p.From, To: p.To, Share: p.Skew})
	}
	return out
}
