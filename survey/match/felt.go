package match

// Feel as numbers: a foot turns by hand while it carries less than about a hundredth of
// the mean load, and is felt solid from three hundredths; a foot that nips stands within
// a few micrometres of touching (common practice, no source).
const (
	freeShare  = 0.01
	solidShare = 0.03
	touchSD    = 1e-6 // m, of a gap under a foot that carries
	nipsSD     = 4e-6 // m
	feelerSD   = 5e-6 // m, of a gap by feeler: half the step between leaves
	jackShare  = 0.05 // of a load by jack
)

// pull is one term of what was felt: −½((v − at)/sd)², of a load or of a gap, and only
// below at when under.
type pull struct {
	gap    bool
	at, sd float64
	under  bool
}

// pulls returns the terms of a felt row · mean load of a foot, N.
func (f Felt) pulls(mean float64) []pull {
	free := pull{at: 0, sd: freeShare * mean}
	switch {
	case f.Touch == Free:
		return []pull{free}
	case f.Touch == Nips:
		return []pull{{at: 0, sd: solidShare * mean}, {gap: true, sd: nipsSD}}
	case f.Touch == Solid:
		return []pull{{at: solidShare * mean, sd: freeShare * mean, under: true}, {gap: true, sd: touchSD}}
	case f.Gap != nil:
		sd := f.Sigma
		if sd == 0 {
			sd = feelerSD
		}
		return []pull{{gap: true, at: *f.Gap, sd: sd}, free}
	}
	sd := f.Sigma
	if sd == 0 {
		sd = max(jackShare**f.Load, freeShare*mean)
	}
	return []pull{{at: *f.Load, sd: sd}}
}

// log returns a term's logarithm.
func (p pull) log(load, gap float64) float64 {
	v := load
	if p.gap {
		v = gap
	}
	if p.under && v > p.at {
		return 0
	}
	return -square((v-p.at)/p.sd) / 2
}
