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
	foot   int
	gap    bool
	at, sd float64
	under  bool
}

// pulls returns the terms of a felt row · mean load of a foot, N.
func (f Felt) pulls(mean float64) []pull {
	k := f.Foot
	free := pull{foot: k, sd: freeShare * mean}
	switch {
	case f.Touch == Free:
		return []pull{free}
	case f.Touch == Nips:
		return []pull{{foot: k, sd: solidShare * mean}, {foot: k, gap: true, sd: nipsSD}}
	case f.Touch == Solid:
		return []pull{{foot: k, at: solidShare * mean, sd: freeShare * mean, under: true}, {foot: k, gap: true, sd: touchSD}}
	case f.Gap != nil:
		sd := f.Sigma
		if sd == 0 {
			sd = feelerSD
		}
		return []pull{{foot: k, gap: true, at: *f.Gap, sd: sd}, free}
	}
	sd := f.Sigma
	if sd == 0 {
		sd = max(jackShare**f.Load, freeShare*mean)
	}
	return []pull{{foot: k, at: *f.Load, sd: sd}}
}

// of returns which of load and gap it is a term of.
func (p pull) of(load, gap float64) float64 {
	if p.gap {
		return gap
	}
	return load
}

// log returns a term's logarithm.
func (p pull) log(load, gap float64) float64 {
	v := p.of(load, gap)
	if p.under && v > p.at {
		return 0
	}
	return -square((v-p.at)/p.sd) / 2
}
